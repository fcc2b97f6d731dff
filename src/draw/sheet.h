/* A sheet in the making: its pages so far, and where on the last one there is room.
 *
 * sheet.c makes the file; sheet_frame.c what is on every page; sheet_glance.c the first page, its heads in
 * sheet_heads.c and sheet_fall.c; sheet_step.c the steps; sheet_key.c the answers of a worksheet. Whatever
 * fails is remembered in `status`, and what follows does nothing. */
#ifndef LW_DRAW_SHEET_H
#define LW_DRAW_SHEET_H

#include "drawing.h"
#include "study.h"
#include "tell.h"

typedef struct sheet {
    const draw_subject *subject;
    const draw_sheet_options *options;
    say_form form;
    int gap;     /* the last gap's number so far */
    study study; /* empty for a key */
    bool lent;   /* that is the caller's */
    drawing *pages;
    int page_count, page_room;
    image **pictures; /* that the pages show */
    int picture_count, picture_room;
    frame body; /* of a page, between head and foot */
    double y;   /* where the last page is free from */
    lw_status status;
    lw_error *error;
} sheet;

/* All pages. Clear it whatever comes of it. */
lw_status sheet_make(sheet *s, const draw_subject *subject, const draw_sheet_options *options,
                     lw_error *error);
void sheet_clear(sheet *s);

/* ---- sheet_frame.c ---- */

/* A new page; the first one has no running head. NULL where something failed. */
drawing *sheet_page(sheet *s);

/* The page in hand. */
drawing *sheet_last(sheet *s);

/* Title, person, date and what the sheet is for, on the first page. */
void sheet_title(sheet *s);

/* Page numbers and the foot of every page, once all are there. */
void sheet_feet(sheet *s);

/* An image that lives as long as the sheet; NULL where memory ran out. */
image *sheet_picture(sheet *s);

/* Cut off with an ellipsis where it would take more than `lines` lines of `width`. */
void sheet_fitted(char *out, size_t size, text_role role, double width, int lines, const char *text);

/* Text of a name to stand among other words, which it must not turn round where it runs from right to left.
 */
void sheet_apart(char *out, size_t size, const char *text);

/* Words as a paragraph of their own; returns the height. */
double sheet_words(drawing *d, part_kind part, text_role role, point at, double width, const char *text);

/* A thin line from side to side. */
void sheet_rule(drawing *d, double x, double y, double width);

/* A line to write on. */
void sheet_blank(drawing *d, double x, double y, double width);

/* ---- a block: anything drawn downward from a place in a width ---- */

/* Draws and returns the height it took. */
typedef double block(sheet *s, drawing *d, point at, double width);

/* That height, without drawing and without using up gaps. */
double sheet_height(sheet *s, block *draw, double width);

/* ---- the parts ---- */

void sheet_glance(sheet *s);
void sheet_steps(sheet *s);
void sheet_key(sheet *s);

/* The heads with sections and lengths, and the fall where it was read; and what height they are given. */
void sheet_heads(sheet *s, drawing *d, double y, double height);
void sheet_heads_room(double *least, double *most, const sheet *s);

/* How the cut falls, in SHEET_FALLS columns `apart`: the first figure's place, and how much stands below it
 * in a column of that width. */
enum { SHEET_FALLS = 3 };
void sheet_falls(sheet *s, drawing *d, frame first, double apart);
double sheet_falls_below(sheet *s, double width);

/* The tables of the first page, which a key repeats. */
block glance_tables;

/* "Answers" and the like: what the sheet is for; "" for the one to cut by. */
const char *sheet_use(const sheet *s);

#endif
