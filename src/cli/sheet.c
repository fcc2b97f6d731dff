/* lengthwise sheet: the cut on paper. */
#include <stdio.h>
#include <string.h>

#include "complain.h"
#include "draw.h"
#include "falling.h"
#include "files.h"
#include "prediction.h"

enum { OUTPUT, FORMAT, PAPER, USE, PAGE, DPI, DATE, NO_FALL, HAIRS_COUNT, SEED, THREADS };

static const char *const formats[] = {"pdf", "svg", "png", NULL};        /* by draw_format */
static const char *const papers[] = {"a4", "letter", NULL};              /* by draw_paper */
static const char *const uses[] = {"cutting", "worksheet", "key", NULL}; /* by draw_use */

static const option options[] = {
    [OUTPUT] = {.name = "output",
                .letter = 'o',
                .kind = OPTION_FILE,
                .argument = "FILE",
                .help = "Where it goes. Always needed."},
    [FORMAT] = {.name = "format",
                .kind = OPTION_WORD,
                .argument = "FORMAT",
                .words = formats,
                .help = "pdf, svg or png; taken from the ending of FILE if left out. svg and png put the "
                        "pages below one another."},
    [PAPER] = {.name = "paper",
               .kind = OPTION_WORD,
               .argument = "PAPER",
               .words = papers,
               .help = "a4 or letter; a4 if left out."},
    [USE] = {.name = "for",
             .kind = OPTION_WORD,
             .argument = "USE",
             .words = uses,
             .help =
                 "cutting, which it is if left out; worksheet, with numbered gaps where numbers stand and "
                 "without the note; or key, the answers to the worksheet by the numbers of its gaps."},
    [PAGE] = {.name = "page",
              .kind = OPTION_WHOLE,
              .argument = "N",
              .low = 1,
              .high = 9999,
              .help = "Only page N; all of them if left out."},
    [DPI] = {.name = "dpi",
             .kind = OPTION_WHOLE,
             .argument = "N",
             .low = 18,
             .high = 1200,
             .help = "Dots per inch of a png; 150 if left out."},
    [DATE] = {.name = "date",
              .kind = OPTION_DATE,
              .argument = "YYYY-MM-DD",
              .help = "The date on the sheet; today if left out. The same date gives the same bytes."},
    [NO_FALL] = OPTION_NO_FALL,
    [HAIRS_COUNT] = OPTION_HAIRS_COUNT,
    [SEED] = OPTION_SEED,
    [THREADS] = OPTION_THREADS,
    {0},
};

static int check(int *format, const value *given) {
    if (!given[OUTPUT].given)
        return complain(EXIT_USAGE, "Such as -o sheet.pdf.", "sheet needs --output FILE");
    int code = output_format(format, &given[FORMAT], given[OUTPUT].text, formats);
    if (!code && given[DPI].given && *format != DRAW_PNG)
        code = complain(EXIT_USAGE, "Leave it out, or choose --format png.", "%s has no --dpi",
                        formats[*format]);
    return code;
}

static int make(draw_bytes *out, const prediction *p, const draw_ready *ready, int format,
                const value *given) {
    char date[DRAW_DATE_MAX];
    draw_subject subject = prediction_subject(p);
    draw_sheet_options how = draw_sheet_default();
    lw_error error = {0};
    how.ready = ready;
    how.format = (draw_format)format;
    how.date = given[DATE].given ? given[DATE].text : draw_today(date);
    if (given[PAPER].given) how.paper = (draw_paper)given[PAPER].word;
    if (given[USE].given) how.use = (draw_use)given[USE].word;
    if (given[PAGE].given) how.page = (int)given[PAGE].whole;
    if (given[DPI].given) how.dpi = (double)given[DPI].whole;
    lw_status status = draw_sheet(out, &subject, &how, &error);
    if (status == LW_ERROR_ARGUMENT && strcmp(error.place, "page") == 0)
        return complain(EXIT_USAGE, error.remedy, "--page: %s", error.message);
    return status ? complain_error(p->name, &error) : EXIT_FINE;
}

static int run(const arguments *args) {
    const value *given = args->value;
    int format = DRAW_PDF, code = check(&format, given);
    if (code) return code;
    prediction p;
    draw_ready *ready = NULL;
    draw_bytes sheet = {0};
    code = prediction_read(&p, args->operand[0]);
    if (code) return code;
    manner how = manner_of(&given[HAIRS_COUNT], &given[SEED], &given[THREADS]);
    code = prediction_run(&p, how);
    if (!code && !given[NO_FALL].given) code = prediction_read_fall_ready(&ready, &p, how);
    if (code) return code;
    code = make(&sheet, &p, ready, format, given);
    draw_ready_free(ready);
    if (!code) code = output_write(given[OUTPUT].text, sheet.data, sheet.size);
    draw_bytes_clear(&sheet);
    prediction_clear(&p);
    return code;
}

extern const command command_sheet;
const command command_sheet = {
    .name = "sheet",
    .summary = "Prints the cut: the head from five sides with the lengths, then every step drawn and told.",
    .operands = "PLAN",
    .operands_least = 1,
    .operands_most = 1,
    .operands_are_plans = true,
    .about =
        (const char *const[]){"PLAN is a plan file, or - for standard input. Page 1 is the cut at a "
                              "glance, with the outlines of the hair as it falls; each step follows with its "
                              "panels, how one is held, and what to do "
                              "in plain sentences. It reads in black and white.",
                              "A plan with a link gets it on page 1, also as a code for a camera.", NULL},
    .options = options,
    .examples =
        (const char *const[]){"lengthwise sheet examples/graduated-bob.json -o bob.pdf",
                              "The sheet to cut by, on A4.",
                              "lengthwise sheet --for worksheet --paper letter plan.json -o worksheet.pdf",
                              "The same with its numbers left for a learner to find.", NULL},
    .run = run,
};
