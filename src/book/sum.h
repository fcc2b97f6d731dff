/* The sum that every row has of itself. See sum.c. */
#ifndef LW_BOOK_SUM_H
#define LW_BOOK_SUM_H

#include <sqlite3.h>

#include "lengthwise.h"

/* Makes lw_sum known to a connection; SQLite's code. */
int sum_register(sqlite3 *db);

/* What each table sums up; all but the sum itself. */
#define PERSON_SUM "lw_sum(id, revision, name, tags, measures, made, changed)"
#define PLAN_SUM "lw_sum(id, person, made)"
#define TEXT_SUM "lw_sum(plan, revision, title, tags, words, text, made)"
#define NOTE_SUM "lw_sum(id, person, plan, text, made)"

#endif
