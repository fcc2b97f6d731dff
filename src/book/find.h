/* Keeping the search in step with what is kept. See list.c. */
#ifndef LW_BOOK_FIND_H
#define LW_BOOK_FIND_H

#include "db.h"

/* Takes the words of what has this id in `findable` out of the search, before it changes; puts them in,
 * after. */
void find_forget(book *b, int64_t findable);
void find_learn(book *b, int64_t findable);

/* Makes the search anew: its index then holds no word of what was deleted. */
void find_renew(book *b);

/* How many people, plans and notes have these words in this order. */
int64_t find_phrase(book *b, const char *words);

#endif
