/* lengthwise picture: the finished head. */
#include <stdio.h>

#include "complain.h"
#include "draw.h"
#include "falling.h"
#include "files.h"
#include "names.h"

enum { OUTPUT, SIDE, COLOUR, HEIGHT, TRANSPARENT, HAIRS_COUNT, SEED, THREADS };

static const char *const colours[] = {"black", "dark-brown", "mid-brown", "fair",
                                      "red",   "grey",       NULL}; /* by draw_hair_colour */

static const option options[] = {
    [OUTPUT] = {.name = "output",
                .letter = 'o',
                .kind = OPTION_FILE,
                .argument = "FILE",
                .help = "Where it goes, as PNG. Always needed."},
    [SIDE] = {.name = "side",
              .kind = OPTION_WORD,
              .argument = "SIDE",
              .words = picture_sides,
              .help = "From where it looks: front, back, left or right (of the client), above or "
                      "three-quarter; front if left out."},
    [COLOUR] = {.name = "hair",
                .kind = OPTION_WORD,
                .argument = "COLOUR",
                .words = colours,
                .help = "The colour of the hair: black, dark-brown, which it is if left out, mid-brown, "
                        "fair, red or grey."},
    [HEIGHT] = {.name = "height",
                .kind = OPTION_WHOLE,
                .argument = "PIXELS",
                .low = 64,
                .high = 8192,
                .help = "How high it is; three quarters as wide; 1200 if left out."},
    [TRANSPARENT] = {.name = "transparent", .help = "Leaves the background out."},
    [HAIRS_COUNT] = OPTION_HAIRS_COUNT,
    [SEED] = OPTION_SEED,
    [THREADS] = OPTION_THREADS,
    {0},
};

static int write_picture(const prediction *p, const value *given) {
    draw_hair_picture_options how = draw_hair_picture_default();
    if (given[SIDE].given) how.side = (draw_side)given[SIDE].word;
    if (given[COLOUR].given) how.colour = (draw_hair_colour)given[COLOUR].word;
    if (given[HEIGHT].given) how.height = (int)given[HEIGHT].whole;
    how.transparent = given[TRANSPARENT].given;
    lw_error error = {0};
    draw_bytes png;
    if (draw_hair_picture(&png, lw_fall_strands(p->fall), p->head, &how, &error))
        return complain_error(p->name, &error);
    int code = output_write(given[OUTPUT].text, png.data, png.size);
    draw_bytes_clear(&png);
    return code;
}

static int run(const arguments *args) {
    const value *given = args->value;
    if (!given[OUTPUT].given)
        return complain(EXIT_USAGE, "Such as -o head.png.", "picture needs --output FILE");
    int code = output_only(given[OUTPUT].text, "png");
    if (code) return code;
    prediction p;
    code = prediction_read(&p, args->operand[0]);
    if (code) return code;
    manner how = manner_of(&given[HAIRS_COUNT], &given[SEED], &given[THREADS]);
    code = prediction_run(&p, how);
    if (!code) code = prediction_let_fall(&p, how);
    if (code) return code;
    code = write_picture(&p, given);
    prediction_clear(&p);
    return code;
}

extern const command command_picture;
const command command_picture = {
    .name = "picture",
    .summary = "Shows the finished head from a side, with its hair.",
    .operands = "PLAN",
    .operands_least = 1,
    .operands_most = 1,
    .operands_are_plans = true,
    .about = (const char *const[]){"PLAN is a plan file, or - for standard input. The hair is shown as it "
                                   "falls after the cut, worn as "
                                   "the plan says; each that is computed, as the many that it stands for.",
                                   NULL},
    .options = options,
    .examples =
        (const char *const[]){
            "lengthwise picture examples/graduated-bob.json -o bob.png --side left",
            "The finished bob from the client's left.",
            "lengthwise picture plan.json -o back.png --side back --hair fair --height 2400",
            "A larger picture of the back, in fair hair.", NULL},
    .run = run,
};
