/* How every role of a mark looks: the one place with widths, dashes, greys, patterns and type.
 *
 * The idea: a page that a photocopier cannot spoil. Everything is black or grey; a length map alone has
 * colour, and carries labelled contours. What a mark means is told by weight, dash or pattern, so that it
 * reads in black and white, small, and by those who see colours differently. Weights go up by the square root
 * of two, as technical pens do (ISO 128): .35 .5 .7 1 1.4 2 points. Lines that can meet in one
 * drawing differ in weight, dash or arrow heads.
 *
 * Which role for what:
 *   the bust            LINE_OUTLINE its edge, LINE_FEATURE inside it, LINE_HAIRLINE the edge of the scalp
 *   partings            LINE_SECTION between sections, LINE_PANEL between panels; _HIDDEN where they run
 *                       behind the head
 *   what the hand does  LINE_HAIR hair held out, over AREA_PANEL; LINE_FINGER where it is cut, the heaviest
 *                       line there is; LINE_CARRY where a panel is taken, with an arrow head
 *   angles              LINE_FROM what they are measured from, LINE_ANGLE the arc with its arrow heads, and a
 *                       draw_label(TEXT_LABEL) on it
 *   on the head         AREA_WORK under a step's section, AREA_GUIDE over the guide, AREA_DOT on a landmark
 *   a length map        LINE_CONTOUR, with draw_label(TEXT_LABEL)
 *   the fallen cut      LINE_BUST under it, LINE_FALLEN its outline, LINE_ENDS and LINE_WEIGHT round the head
 *   the page            LINE_RULE between rows and parts, LINE_BLANK to write on, AREA_BOX behind cautions,
 *                       LINE_LEADER from a label to its place
 *   words               TEXT_TITLE once; TEXT_SUBTITLE under it; TEXT_HEADING over a step or a part;
 * TEXT_BODY for sentences, TEXT_STRONG within them; TEXT_SMALL for captions, notes and page feet; TEXT_LABEL
 * and TEXT_NUMBER in drawings; TEXT_FIGURE for numbers in columns
 */
#ifndef LW_DRAW_LOOK_H
#define LW_DRAW_LOOK_H

#include "draw.h"
#include "drawing.h"

/* The page, in points. Every distance between things is a multiple of the grid. */
enum {
    LOOK_GRID = 4,
    LOOK_MARGIN = 44,  /* round the page */
    LOOK_GUTTER = 16,  /* between columns */
    LOOK_GAP = 8,      /* between a drawing and its caption */
    LOOK_BOX_INSET = 8 /* from the edge of an AREA_BOX to the words in it */
};

enum { LOOK_DASHES = 4 };

typedef struct line_look {
    const char *name, *meaning;
    double width;             /* points */
    double grey;              /* 0 black, 1 white */
    double dash[LOOK_DASHES]; /* on, off, on, off, points; first 0 and second above 0: round dots */
    double halo;              /* points of paper on either side, so that it reads over a map */
    bool round;               /* ends and corners; otherwise square cut */
    bool head, tail;          /* arrow heads at its end and at its start */
} line_look;

typedef enum fill_pattern { FILL_PLAIN, FILL_HATCH, FILL_DOTS } fill_pattern;

typedef struct area_look {
    const char *name, *meaning;
    fill_pattern pattern;
    double tint;    /* grey of a tint under the pattern */
    double cover;   /* how much of what lies beneath the tint hides, 0 to 1 */
    double grey;    /* of hatch or dots */
    double weight;  /* points: width of a hatch line, diameter of a dot */
    double spacing; /* points between hatch lines or dots */
    double edge;    /* points: width of the black line round it; 0 none */
} area_look;

typedef struct text_look {
    const char *name, *meaning;
    double size, leading; /* points */
    double grey;
    int weight;   /* 400 regular, 500 medium, 600 semibold, 700 bold */
    bool tabular; /* figures of one width */
} text_look;

/* Out of range: the first. */
const line_look *look_line(line_role role);
const area_look *look_area(area_role role);
const text_look *look_text(text_role role);

/* Family names in order of choice, as fontconfig takes them. */
const char *look_family(void);

/* An arrow head on a line of this width, in points. */
double look_arrow_length(double line_width);
double look_arrow_width(double line_width);

/* Paper round a label, beyond the text's box. */
point look_label_inset(void);

/* A QR code: modules of paper round it, and the smallest module that a hand-held camera reads, in points. */
enum { LOOK_QR_QUIET = 4 };
double look_qr_module(void);

/* The tables of docs/drawing.md. */
lw_status look_reference(draw_bytes *out, lw_error *error);

#endif
