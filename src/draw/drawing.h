/* A drawing: what is on one page, as a list of marks that say what they are.
 *
 * Everything that is drawn goes through this list, whatever it is painted on afterwards (paint.h), so PDF,
 * SVG and PNG cannot differ, and a test can ask the list what it says: where a landmark is marked, at what
 * angle a panel is held. A mark carries a role, never a colour or a width: look.h alone knows how a role
 * looks.
 *
 * Units are points (1/72 inch), x to the right, y down. Memory that runs out is remembered: later marks are
 * dropped and the drawing says so when it is painted. */
#ifndef LW_DRAW_DRAWING_H
#define LW_DRAW_DRAWING_H

#include "image.h"
#include "lengthwise.h"

typedef struct point {
    double x, y;
} point;

typedef struct frame {
    double x, y, width, height;
} frame;

typedef enum line_role {
    LINE_OUTLINE,  /* the bust against the background */
    LINE_FEATURE,  /* inner contours: nose, lips, ear, jaw */
    LINE_HAIRLINE, /* edge of the scalp */
    LINE_SECTION,  /* partings between sections */
    LINE_SECTION_HIDDEN,
    LINE_PANEL, /* partings between panels */
    LINE_PANEL_HIDDEN,
    LINE_HAIR,    /* held hair */
    LINE_FINGER,  /* where the fingers lie and the scissors cut */
    LINE_ANGLE,   /* the arc of an angle */
    LINE_FROM,    /* what an angle is measured from: scalp or plumb */
    LINE_CARRY,   /* the way a panel is carried; ends in an arrow head */
    LINE_CONTOUR, /* one length */
    LINE_LEADER,  /* from a label to its place */
    LINE_RULE,    /* of tables and pages */
    LINE_BLANK,   /* to write on */
    LINE_BUST,    /* the bust that hair has fallen on */
    LINE_FALLEN,  /* the outline of fallen hair */
    LINE_ENDS,    /* where fallen hair ends */
    LINE_WEIGHT,  /* where its weight lies */
    LINE_ROLES
} line_role;

typedef enum area_role {
    AREA_PANEL, /* a panel in the hand */
    AREA_GUIDE, /* the guide: told by its pattern */
    AREA_WORK,  /* the section a step works on */
    AREA_DOT,   /* a landmark */
    AREA_PAPER, /* behind a label */
    AREA_INK,   /* arrow heads, modules of a QR code */
    AREA_BOX,   /* behind cautions */
    AREA_ROLES
} area_role;

typedef enum text_role {
    TEXT_TITLE,
    TEXT_SUBTITLE,
    TEXT_HEADING,
    TEXT_BODY,
    TEXT_STRONG,
    TEXT_SMALL,
    TEXT_LABEL,  /* in drawings */
    TEXT_NUMBER, /* of a panel */
    TEXT_FIGURE, /* table figures, of even width */
    TEXT_ROLES
} text_role;

typedef enum align { ALIGN_START, ALIGN_CENTRE, ALIGN_END } align;

/* What a part of the page is, for those who hear it read: becomes a tag of the PDF. */
typedef enum part_kind {
    PART_TITLE,
    PART_HEADING,
    PART_PARAGRAPH,
    PART_FIGURE,
    PART_TABLE,
    PART_ROW,
    PART_CELL,
    PART_NOTE,
    PART_HEAD /* a cell that names its row or column */
} part_kind;

typedef enum mark_kind { MARK_LINE, MARK_AREA, MARK_TEXT, MARK_PICTURE, MARK_OPEN, MARK_CLOSE } mark_kind;

typedef struct mark {
    mark_kind kind;
    int role;         /* line_role, area_role, text_role or part_kind */
    int about;        /* what it shows: a panel's number, a landmark, a section; -1 nothing in particular */
    int first, count; /* MARK_LINE, MARK_AREA: points */
    bool closed;
    frame at;    /* MARK_TEXT: its box, height as laid out; MARK_PICTURE */
    align align; /* MARK_TEXT */
    bool wraps;  /* MARK_TEXT: set in lines of at.width; otherwise one line */
    double turn; /* MARK_TEXT: radians clockwise about the box's middle */
    size_t text; /* MARK_TEXT, MARK_OPEN (what a figure shows, in words): offset into the drawing's text */
    size_t link; /* MARK_TEXT, MARK_AREA: offset of the address it leads to; 0 none */
    const image *picture; /* MARK_PICTURE: not the drawing's own; must outlive it */
} mark;

typedef struct drawing {
    double width, height;
    int mark_count, mark_room;
    mark *marks;
    int point_count, point_room;
    point *points;
    size_t text_size, text_room;
    char *text;  /* zero-terminated strings one after another; offset 0 holds "" */
    bool failed; /* memory ran out */
} drawing;

void drawing_begin(drawing *out, double width, double height);
void drawing_clear(drawing *d);

/* Each adds one mark. Points are copied. A line of fewer than two points and an empty text add nothing. */
void draw_line(drawing *d, line_role role, int about, const point *points, int count, bool closed);
void draw_area(drawing *d, area_role role, int about, const point *points, int count);
void draw_disc(drawing *d, area_role role, int about, point middle,
               double radius); /* a MARK_AREA of many points */
void draw_picture(drawing *d, const image *picture, frame at);

/* Text set in lines no wider than `width`, its box's top left corner at `at`; width 0: one line, `at` is
 * where it starts, has its middle or ends by `align`. Any script, right-to-left included. Returns its height.
 */
double draw_text(drawing *d, text_role role, align by, point at, double width, const char *text);

/* The same, leading to an address. */
double draw_link(drawing *d, text_role role, align by, point at, double width, const char *text,
                 const char *address);

/* An area that leads to an address. */
void draw_area_link(drawing *d, area_role role, int about, const point *points, int count,
                    const char *address);

/* One line of text turned clockwise by `turn` radians about its middle, on a piece of paper (AREA_PAPER). */
void draw_label(drawing *d, text_role role, int about, point middle, double turn, const char *text);

/* How large text would come out, in points. */
point text_size(text_role role, double width, const char *text);

/* Opens and closes a part of the page; parts nest. `alt`: what a figure shows, in words; "" for others. */
void draw_open(drawing *d, part_kind kind, const char *alt);
void draw_close(drawing *d);

/* All marks of another drawing, after those that are there. */
void draw_drawing(drawing *d, const drawing *of);

/* The string at an offset kept in a mark. */
const char *drawing_text(const drawing *d, size_t offset);

#endif
