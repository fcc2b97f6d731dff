/* A plan, its cut and how it falls as JSON, written into memory. */
#ifndef LW_TELL_JSON_H
#define LW_TELL_JSON_H

#include "put.h"
#include "tell.h"

/* {"partings": [runs], "steps": [{"name", "says": runs, "caution"}], "cautions": [text]}: a parting for each
 * of the plan's splits, mirror images among them. Runs are a list of {"text"} and, where a field of the plan
 * chose the words, {"text", "field"}. Without a cut, what cannot be said without is left out. */
void put_words(json *j, const tell_subject *of);

#endif
