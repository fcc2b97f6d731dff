/* A plan, its cut and how it falls as JSON, written into memory. */
#ifndef LW_TELL_JSON_H
#define LW_TELL_JSON_H

#include "put.h"
#include "tell.h"

/* {"partings": [runs], "steps": [{"name", "says": runs, "caution"}], "cautions": [text]}: a parting for each
 * of the plan's splits, mirror images among them. Runs are a list of {"text"} and, where a field of the plan
 * chose the words, {"text", "field"}. Without a cut, what cannot be said without is left out. */
void put_words(json *j, const tell_subject *of);

/* Everything that a prediction says, as `lengthwise predict --json` prints it; docs/model.md defines each
 * field. "fall" is null unless the cut was read as it fell. */
void put_prediction(json *j, const tell_subject *p, const lw_fall *fall);

/* Of that {"landmarks", "sections", "readings", "warnings"}, and "leaves": what each step leaves, in words.
 */
void put_reading(json *j, const tell_subject *p);

/* Of that "fall", which has to be there: as a member; and as an object of its own, without the patches, which
 * are a third of it and are looked at by nobody who sees the hair. */
void put_fall(json *j, const tell_subject *p, const lw_fall *fall);
void put_fallen(json *j, const tell_subject *p, const lw_fall *fall);

/* What a machine can do about a warning: [{"path": ["hands", "bites"], "value": true}], values to put into
 * the plan file in that order, null to take one out; the place after the last of a list adds to it. null
 * where a warning takes judgement. */
void put_edits(json *j, const char *key, const lw_plan *plan, const lw_warning *warning);

#endif
