/* Pictures of hair: that strands are seen where they are, in the light they lie in, and nothing else is. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#include <cmocka.h>

#include "draw.h"
#include "failing.h"
#include "hair.h"
#include "hair_line.h"
#include "hair_shine.h"
#include "heads.h"
#include "near.h"
#include "vec.h"

enum { WIDTH = 180, HEIGHT = 180 };
#define SCALE 600. /* pixels per metre */
#define BALL .1    /* metres */

/* ---- strands to look at ---- */

static lw_strands strands_for(int count, int nodes) {
    lw_strands s = {.count = count, .nodes = nodes};
    s.at = calloc((size_t)count * (size_t)nodes, sizeof *s.at);
    s.root = calloc((size_t)count, sizeof *s.root);
    s.hairs = calloc((size_t)count, sizeof *s.hairs);
    assert_true(s.at && s.root && s.hairs);
    for (int i = 0; i < count; i++) s.root[i] = i, s.hairs[i] = 1;
    return s;
}

static void strands_clear(lw_strands *s) {
    free(s->at);
    free(s->root);
    free(s->hairs);
}

static lw_strands straight(lw_vec3 from, lw_vec3 to, double hairs) {
    lw_strands s = strands_for(1, 8);
    for (int k = 0; k < 8; k++) s.at[k] = v3_along(from, v3_sub(to, from), k / 7.);
    s.hairs[0] = hairs;
    return s;
}

/* Down the ball's meridians from near its top, `off` metres above it, to `angle` radians from the top. */
static void comb(lw_strands *s, int first, int count, double off, double angle, double hairs) {
    for (int i = 0; i < count; i++) {
        double turn = 2 * LW_PI * i / count;
        for (int k = 0; k < s->nodes; k++) {
            double down = .15 + (angle - .15) * k / (s->nodes - 1), r = BALL + off;
            s->at[(first + i) * s->nodes + k] =
                v3(r * sin(down) * sin(turn), r * cos(down), r * sin(down) * cos(turn));
        }
        s->hairs[first + i] = hairs;
    }
}

static lw_strands combed(double angle) {
    lw_strands s = strands_for(600, 12);
    comb(&s, 0, 600, .002, angle, 150);
    return s;
}

typedef struct shown {
    lw_head *head;
    lw_mesh mesh;
    stage on;
    hair_options options;
} shown;

static void show(shown *s, const lw_strands *hair) {
    s->head = head_of(LW_HEAD_SPHERE, BALL, 0, 0);
    s->mesh = mesh_of(s->head, .01);
    s->on = (stage){.view = view_of(VIEW_FRONT), .middle = {WIDTH / 2., HEIGHT / 2.}, .scale = SCALE};
    s->options = (hair_options){.strands = hair,
                                .mesh = &s->mesh,
                                .head = s->head,
                                .on = &s->on,
                                .width = WIDTH,
                                .height = HEIGHT,
                                .colour = DRAW_HAIR_MID_BROWN,
                                .lamps = hair_lamps_default(),
                                .transparent = true};
}

static void hide(shown *s) {
    lw_mesh_clear(&s->mesh);
    lw_head_free(s->head);
}

static image picture_of(const shown *s) {
    image p;
    lw_error error = {0};
    if (hair_picture(&p, &s->options, &error)) fail_msg("%s", error.message);
    return p;
}

static const uint8_t *at(const image *p, int x, int y) { return p->rgba + 4 * (y * p->width + x); }

/* Mean of red, green and blue over a box round a place of the ball, as it is coded. */
static double tone(const image *p, double x, double y, int half) {
    int cx = (int)(WIDTH / 2. + SCALE * x), cy = (int)(HEIGHT / 2. - SCALE * y);
    double sum = 0;
    for (int v = cy - half; v <= cy + half; v++)
        for (int u = cx - half; u <= cx + half; u++)
            for (int k = 0; k < 3; k++) sum += at(p, u, v)[k];
    return sum / (3. * (2 * half + 1) * (2 * half + 1));
}

static double tone_of(const shown *s, double x, double y, int half) {
    image p = picture_of(s);
    double t = tone(&p, x, y, half);
    image_clear(&p);
    return t;
}

static double opaque(const image *p) {
    double sum = 0;
    for (int i = 0; i < WIDTH * HEIGHT; i++) sum += p->rgba[4 * i + 3] / 255.;
    return sum;
}

/* ---- where hair is ---- */

/* Beside the ball, at several slants: as much of the picture is covered as the hair is long and wide. */
static void a_hair_covers_its_length_and_width(void **state) {
    (void)state;
    static const double slants[] = {0, .2, .5, .7};
    lw_strands none = strands_for(0, 2);
    shown s;
    show(&s, &none);
    image bare = picture_of(&s);
    for (int i = 0; i < 4; i++) {
        lw_vec3 from = v3(.105, .12, 0), to = v3(.105 + .03 * slants[i], .02, 0);
        lw_strands one = straight(from, to, 1);
        s.options.strands = &one;
        s.options.plain = true;
        image p = picture_of(&s);
        /* a line is one sample wide across its steeper axis: a quarter of a pixel */
        assert_near(opaque(&p) - opaque(&bare), .1 * SCALE / HAIR_GRID, .08 * .1 * SCALE / HAIR_GRID);
        for (int k = 0; k <= 10; k++) {
            lw_vec3 on = v3_along(from, v3_sub(to, from), .05 + .09 * k);
            point middle = stage_point(&s.on, on);
            assert_true(at(&p, (int)middle.x, (int)middle.y)[3] > at(&bare, (int)middle.x, (int)middle.y)[3]);
            assert_int_equal(at(&p, (int)middle.x + 4, (int)middle.y)[3],
                             at(&bare, (int)middle.x + 4, (int)middle.y)[3]);
        }
        image_clear(&p);
        strands_clear(&one);
    }
    image_clear(&bare);
    hide(&s);
    strands_clear(&none);
}

static void what_is_behind_the_head_is_hidden(void **state) {
    (void)state;
    lw_strands none = strands_for(0, 2), behind = straight(v3(-.04, .05, -.12), v3(.05, -.03, -.12), 200),
               before = straight(v3(-.04, .05, .12), v3(.05, -.03, .12), 200);
    shown s;
    show(&s, &none);
    image bare = picture_of(&s);
    s.options.strands = &behind;
    image hidden = picture_of(&s);
    s.options.strands = &before;
    image seen = picture_of(&s);
    int most = 0, changed = 0;
    for (int i = 0; i < WIDTH * HEIGHT * 4; i++) {
        int d = abs(hidden.rgba[i] - bare.rgba[i]);
        most = d > most ? d : most;
        changed += abs(seen.rgba[i] - bare.rgba[i]) > 40;
    }
    assert_true(most <= 6); /* a little light from behind is lost at the edge */
    assert_true(changed > 100);
    image_clear(&bare);
    image_clear(&hidden);
    image_clear(&seen);
    hide(&s);
    strands_clear(&none);
    strands_clear(&behind);
    strands_clear(&before);
}

/* Two bundles cross: the one before hides the other, whichever comes first in the list. */
static void the_nearer_hair_hides_the_other(void **state) {
    (void)state;
    double tones[2];
    for (int order = 0; order < 2; order++) {
        lw_strands s = strands_for(400, 4);
        for (int i = 0; i < 400; i++) {
            bool front = (i < 200) == (order == 0);
            double aside = (i % 200 - 99.5) * 1e-4;
            for (int k = 0; k < 4; k++) {
                double along = .03 * k - .045;
                s.at[i * 4 + k] = front ? v3(aside, along, .13) : v3(along, aside, .12);
            }
            s.root[i] = (i + (order ? 200 : 0)) % 400;
            s.hairs[i] = 20;
        }
        shown seen;
        show(&seen, &s);
        seen.options.plain = true;
        tones[order] = tone_of(&seen, 0, 0, 3);
        hide(&seen);
        strands_clear(&s);
    }
    assert_near(tones[0], tones[1], .5);
}

/* ---- light ---- */

static void the_lamps_side_is_lighter(void **state) {
    (void)state;
    lw_strands hair = combed(1.9);
    shown s;
    show(&s, &hair);
    image p = picture_of(&s);
    double left = tone(&p, -.055, .03, 8), right = tone(&p, .055, .03, 8);
    assert_true(left > right + 10);
    image_clear(&p);
    lw_vec3 *lamp = &s.options.lamps.key.toward;
    lamp->x = -lamp->x;
    p = picture_of(&s);
    assert_true(tone(&p, -.055, .03, 8) < tone(&p, .055, .03, 8) - 5);
    image_clear(&p);
    hide(&s);
    strands_clear(&hair);
}

/* A second layer, well off the head and ending at its middle: what lies just below is in its shadow, what
 * lies far below less so, and so is the head itself where it is bare. */
static void an_overhang_casts_a_shadow(void **state) {
    (void)state;
    for (int bare = 0; bare < 2; bare++) {
        lw_strands hair = strands_for(1200, 12);
        comb(&hair, 0, 600, .002, bare ? .3 : 2.4, 150);
        comb(&hair, 600, 600, .002, bare ? .3 : 2.4, 1);
        shown s;
        show(&s, &hair);
        double y = -.004, free_near = tone_of(&s, -.02, y, 2);
        comb(&hair, 600, 600, .03, 1.5, 150);
        double near = tone_of(&s, -.02, y, 2);
        assert_true(near < .85 * free_near);
        hide(&s);
        strands_clear(&hair);
    }
}

static void mirrored_strands_give_the_mirrored_picture(void **state) {
    (void)state;
    lw_strands hair = strands_for(4000, 12), other = strands_for(4000, 12);
    comb(&hair, 0, 4000, .002, 1.7, 20);
    for (int i = 0; i < hair.count * hair.nodes; i++) {
        hair.at[i].x += .004 * sin(60 * hair.at[i].y) + .02 * hair.at[i].z; /* unlike on both sides */
        other.at[i] = v3_mirror(hair.at[i]);
    }
    shown s;
    show(&s, &hair);
    s.options.plain = true;
    image one = picture_of(&s);
    hair_lamps *lamps = &s.options.lamps;
    lamps->key.toward.x *= -1, lamps->fill.toward.x *= -1, lamps->rim.toward.x *= -1;
    s.options.strands = &other;
    image mirrored = picture_of(&s);
    double apart = 0, unlike = 0;
    int n = 0;
    for (int y = 0; y < HEIGHT; y++)
        for (int x = 0; x < WIDTH; x++) {
            double u = (x + .5 - WIDTH / 2.) / SCALE, v = (HEIGHT / 2. - y - .5) / SCALE;
            if (hypot(u, v) > .06 || v < .01) continue; /* all hair: the bust keeps its lamp */
            n++;
            for (int k = 0; k < 3; k++) {
                apart += abs(at(&one, x, y)[k] - at(&mirrored, WIDTH - 1 - x, y)[k]) / 3.;
                unlike += abs(at(&one, x, y)[k] - at(&one, WIDTH - 1 - x, y)[k]) / 3.;
            }
        }
    assert_true(n > 1000);
    assert_near(apart / n, 0, 4);
    assert_true(unlike / n > 2 * apart / n);
    image_clear(&one);
    image_clear(&mirrored);
    hide(&s);
    strands_clear(&hair);
    strands_clear(&other);
}

/* ---- one hair in the light ---- */

static double sum_of(const float c[3]) { return (double)c[0] + c[1] + c[2]; }

/* Lamp and eye in the plane of the hair, both from the side `angle` radians before straight across. */
static void shine_at(float out[3], const hair_body *body, double angle) {
    float t[3] = {0, (float)-cos(angle), (float)sin(angle)}, lamp[3] = {0, 0, 1}, reach[3] = {1, 1, 1};
    hair_shine(out, body, t, lamp, reach);
}

/* Scales tip a hair's surface toward its root: looked at with a lamp beside the eye, the white highlight lies
 * where the hair runs away from the eye, and the coloured one where it comes toward it (Marschner and others
 * 2003, section 3). */
static void the_highlights_lie_apart(void **state) {
    (void)state;
    hair_body fair = hair_body_of(DRAW_HAIR_FAIR, .5f, .5f), black = hair_body_of(DRAW_HAIR_BLACK, .5f, .5f);
    fair.tilt = black.tilt = 0;
    double best = 0, best_angle = 0, warm = 0, warm_angle = 0;
    for (int i = -60; i <= 60; i++) {
        float c[3], d[3];
        shine_at(c, &black, .01 * i);
        if (sum_of(c) > best) best = sum_of(c), best_angle = .01 * i;
        shine_at(d, &fair, .01 * i);
        double warmth = (double)d[0] - d[2];
        if (warmth > warm) warm = warmth, warm_angle = .01 * i;
    }
    assert_near(best_angle, -.11, .03);
    assert_true(warm_angle > .02);
}

static void lighter_words_mean_lighter_hair(void **state) {
    (void)state;
    static const draw_hair_colour order[] = {DRAW_HAIR_BLACK, DRAW_HAIR_DARK_BROWN, DRAW_HAIR_MID_BROWN,
                                             DRAW_HAIR_FAIR};
    double last = -1;
    for (int i = 0; i < 4; i++) {
        hair_body b = hair_body_of(order[i], .5f, .5f);
        assert_true(sum_of(b.cast) > last);
        assert_true(b.cast[0] >= b.cast[1] && b.cast[1] >= b.cast[2]); /* melanin takes most of the blue */
        for (int k = 0; k < 3; k++) assert_true(b.cast[k] >= 0 && b.cast[k] < 1 && b.block[k] <= 1);
        last = sum_of(b.cast);
    }
    hair_body red = hair_body_of(DRAW_HAIR_RED, .5f, .5f),
              brown = hair_body_of(DRAW_HAIR_MID_BROWN, .5f, .5f);
    assert_true(red.cast[0] / red.cast[2] > brown.cast[0] / brown.cast[2]);
    int white = 0;
    for (int i = 0; i < 1000; i++)
        white += sum_of(hair_body_of(DRAW_HAIR_GREY, (float)i / 1000, .5f).cast) > 1;
    assert_true(white > 400 && white < 800);
}

/* ---- how deep ---- */

/* A level slab of hairs, `gap` apart, in `layers` 1 mm below one another. */
static hair_fine slab(double gap, int layers, double width) {
    int across = (int)(.06 / gap);
    hair_fine f = {.count = across * layers, .width = width};
    f.first = malloc(((size_t)f.count + 1) * sizeof *f.first);
    f.at = malloc((size_t)f.count * 13 * sizeof *f.at);
    f.tint = calloc((size_t)f.count, sizeof *f.tint);
    f.lock = calloc((size_t)f.count, sizeof *f.lock);
    assert_true(f.first && f.at && f.tint && f.lock);
    f.first[0] = 0;
    for (int i = 0; i < f.count; i++) {
        f.first[i + 1] = 13 * (i + 1);
        for (int k = 0; k < 13; k++)
            f.at[13 * i + k] =
                (hair_point){(float)(-.033 + .005 * k + 1e-4 * (i * 7 % 50)), (float)(-.001 * (i % layers)),
                             (float)(-.03 + gap * (i / layers + .5))};
    }
    hair_fine_bound(&f);
    return f;
}

static void depth_is_counted_in_hairs(void **state) {
    (void)state;
    enum { LAYERS = 10 };
    double gap = .0002, width = 1e-4, each = width / gap;
    hair_fine f = slab(gap, LAYERS, width);
    hair_veil veil;
    assert_int_equal(hair_veil_new(&veil, &f, v3(0, 1, 0), .001, 0, 1, NULL), LW_OK);
    assert_near(hair_veil_at(&veil, (hair_point){0, .001f, 0}), 0, 1e-6);
    assert_near(hair_veil_at(&veil, (hair_point){0, -.02f, 0}), LAYERS * each, .1 * LAYERS * each);
    /* halfway down; within a layer of the map it is taken as even */
    assert_near(hair_veil_at(&veil, (hair_point){0, -.0045f, 0}), 5 * each, .8 * each);
    hair_veil_clear(&veil);
    /* one in three stands for all */
    assert_int_equal(hair_veil_new(&veil, &f, v3(0, 1, 0), .005, 1, 3, NULL), LW_OK);
    assert_near(hair_veil_at(&veil, (hair_point){0, -.02f, 0}), LAYERS * each, .12 * LAYERS * each);
    hair_veil_clear(&veil);

    lw_head *head = head_of(LW_HEAD_SPHERE, .05, 0, 0);
    hair_air air;
    view v = view_of(VIEW_FRONT);
    assert_int_equal(hair_air_new(&air, &f, head, &v, .004, NULL), LW_OK);
    float *depth = malloc(hair_air_cells(&air) * sizeof *depth);
    assert_non_null(depth);
    hair_air_depth(depth, &air, v3(0, 1, 0), 1, 0);
    assert_near(hair_air_at(depth, &air, (hair_point){0, -.018f, 0}, 9), LAYERS * each, .1 * LAYERS * each);
    assert_near(hair_air_at(depth, &air, (hair_point){0, .008f, 0}, 9), 0, .01);
    assert_near(hair_air_at(depth, &air, (hair_point){0, 1, 0}, 9), 9, 0);
    /* at 45 degrees across the hairs the way through is longer by the square root of two */
    hair_air_depth(depth, &air, v3(0, 1, 1), 1, 0);
    assert_near(hair_air_at(depth, &air, (hair_point){0, -.018f, 0}, 9), sqrt(2) * LAYERS * each,
                .12 * LAYERS * each);
    free(depth);
    hair_air_clear(&air);
    lw_head_free(head);
    hair_fine_clear(&f);
}

/* ---- fine hairs ---- */

static hair_fine fine_of(const lw_strands *s, double sample) {
    hair_fine f;
    hair_fine_options o = {.seen = view_of(VIEW_FRONT), .sample = sample, .step = .005};
    assert_int_equal(hair_fine_new(&f, s, &o, NULL), LW_OK);
    return f;
}

/* Whatever the picture can show, all hairs together are as wide. */
static void fine_hairs_are_as_many_as_the_real_ones(void **state) {
    (void)state;
    lw_strands s = combed(1.5);
    hair_fine each = fine_of(&s, 1e-5), some = fine_of(&s, 2.5e-4);
    assert_near(each.count, 600 * 150, 1);
    assert_near(some.count * some.width / (each.count * each.width), 1, .01);
    assert_true(some.count < each.count / 3);
    hair_fine_clear(&each);
    hair_fine_clear(&some);
    strands_clear(&s);
}

/* Two tufts whose roots stand side by side and which part: no hair goes down the middle. */
static void none_stands_across_a_parting(void **state) {
    (void)state;
    lw_strands s = strands_for(200, 10);
    for (int i = 0; i < 200; i++)
        for (int k = 0; k < 10; k++) {
            double side = i % 2 ? 1 : -1;
            s.at[i * 10 + k] = v3(side * (.001 + .01 * k), .1 - .001 * k * k, .0005 * (i / 2) - .025);
        }
    for (int i = 0; i < 200; i++) s.hairs[i] = 30;
    hair_fine f = fine_of(&s, 1e-4);
    assert_true(f.count > 1000);
    for (int i = 0; i < f.count; i++) {
        hair_point end = f.at[f.first[i + 1] - 1];
        assert_true(fabsf(end.x) > .08f && fabsf(end.x) < .1f);
        double length = 0;
        for (int k = f.first[i] + 1; k < f.first[i + 1]; k++) {
            hair_point a = f.at[k - 1], b = f.at[k];
            length += sqrt((a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y) + (a.z - b.z) * (a.z - b.z));
        }
        assert_near(length, .125, .008);
    }
    hair_fine_clear(&f);
    strands_clear(&s);
}

/* Round their line, as far off as the coil is wide or what hairs stray, and as long as hairs of that coil. */
static void coils_wind_round_their_line(void **state) {
    (void)state;
    lw_strands s = strands_for(40, 10);
    lw_coil coil[40];
    s.coil = coil;
    for (int i = 0; i < 40; i++) {
        for (int k = 0; k < 10; k++)
            s.at[i * 10 + k] = v3(.002 * (i % 8) - .007, .1 - .01 * k, .002 * (i / 8) + .05);
        s.hairs[i] = 20;
        coil[i] = (lw_coil){.004, i % 8 < 4 ? -800 : 800};
    }
    hair_fine f = fine_of(&s, 1e-4);
    double sum = 0;
    for (int i = 0; i < f.count; i++) {
        for (int k = f.first[i] + 1; k < f.first[i + 1]; k++) {
            hair_point a = f.at[k - 1], b = f.at[k];
            sum += sqrt((a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y) + (a.z - b.z) * (a.z - b.z));
            assert_true(fabsf(b.x) < .007f + .013f);
        }
    }
    /* .09 m of line, the first turns not yet wide */
    assert_near(sum / f.count / (.09 * sqrt(1 + pow(.004 * 800, 2))), 1, .15);
    hair_fine_clear(&f);
    strands_clear(&s);
}

/* ---- in any case ---- */

static void same_bits_for_any_number_of_threads(void **state) {
    (void)state;
    static const int threads[] = {1, 2, 5};
    lw_strands hair = combed(1.9);
    shown s;
    show(&s, &hair);
    image first = {0};
    for (int i = 0; i < 3; i++) {
#ifdef _OPENMP
        omp_set_num_threads(threads[i]);
#endif
        image p = picture_of(&s);
        if (i == 0) {
            first = p;
            continue;
        }
        assert_memory_equal(p.rgba, first.rgba, WIDTH * HEIGHT * 4);
        image_clear(&p);
    }
    assert_true(threads[2] == 5);
    image_clear(&first);
    hide(&s);
    strands_clear(&hair);
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    lw_strands hair = strands_for(40, 4);
    comb(&hair, 0, 40, .002, 1.5, 3);
    shown s;
    show(&s, &hair);
    s.options.width = s.options.height = 40;
    int before = memory.live, n = 0;
    /* those of the maps of depth are all alike */
    for (bool refused = true; refused; n += n < 60 ? 1 : 17) {
        image p;
        lw_error error = {0};
        memory_fails_from(n);
        lw_status status = hair_picture(&p, &s.options, &error);
        refused = memory_failed();
        assert_int_equal(status, refused ? LW_ERROR_MEMORY : LW_OK);
        assert_int_equal(error.status, status);
        if (refused) assert_null(p.rgba);
        image_clear(&p);
        assert_int_equal(memory.live, before);
    }
    assert_true(n > 100);
    hide(&s);
    strands_clear(&hair);
}

static void refused(const lw_strands *hair, draw_hair_picture_options options, const char *place) {
    lw_head *head = head_of(LW_HEAD_SPHERE, .1, 0, 0);
    draw_bytes png;
    lw_error error = {0};
    assert_int_equal(draw_hair_picture(&png, hair, head, &options, &error), LW_ERROR_ARGUMENT);
    assert_string_equal(error.place, place);
    assert_true(error.message[0] && error.remedy[0]);
    assert_null(png.data);
    lw_head_free(head);
}

static void what_cannot_be_drawn_is_refused(void **state) {
    (void)state;
    lw_strands hair = combed(1.5);
    draw_hair_picture_options o = draw_hair_picture_default();
    o.cell = .02;
    static const int heights[] = {-1, 0, 63, 8193, INT32_MAX};
    for (int i = 0; i < 5; i++) {
        o.height = heights[i];
        refused(&hair, o, "height");
    }
    o.height = 64;
    o.side = DRAW_SIDES;
    refused(&hair, o, "side");
    o.side = DRAW_ABOVE;
    o.colour = DRAW_HAIR_COLOURS;
    refused(&hair, o, "colour");
    o.colour = DRAW_HAIR_GREY;
    o.cell = .5;
    refused(&hair, o, "cell");
    o.cell = .02;
    static const double odd[] = {NAN, INFINITY, 1e30};
    for (int i = 0; i < 3; i++) {
        hair.at[100].y = odd[i];
        refused(&hair, o, "strands");
    }
    hair.at[100].y = 0;
    hair.nodes = 1;
    refused(&hair, o, "strands");
    hair.nodes = 12;
    hair.hairs[3] = NAN;
    refused(&hair, o, "strands");
    strands_clear(&hair);
}

/* Hairs without length, all in one place, on two points, or none at all. */
static void odd_strands_do_no_harm(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_SPHERE, .1, 0, 0);
    draw_hair_picture_options o = draw_hair_picture_default();
    o.cell = .02;
    o.height = 64;
    for (int i = 0; i < 4; i++) {
        lw_strands s = strands_for(i == 0 ? 0 : 50, i == 1 ? 2 : 5);
        for (int k = 0; k < s.count * s.nodes; k++) s.at[k] = v3(0, .1, i == 2 ? 0 : .001 * k);
        for (int k = 0; k < s.count; k++) s.hairs[k] = i == 3 ? 1e6 : 3;
        draw_bytes png;
        lw_error error = {0};
        if (draw_hair_picture(&png, &s, head, &o, &error)) fail_msg("%s", error.message);
        assert_memory_equal(png.data, "\x89PNG\r\n\x1a\n\0\0\0\rIHDR", 16); /* ISO/IEC 15948 */
        draw_bytes_clear(&png);
        strands_clear(&s);
    }
    lw_head_free(head);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_hair_covers_its_length_and_width),
        cmocka_unit_test(what_is_behind_the_head_is_hidden),
        cmocka_unit_test(the_nearer_hair_hides_the_other),
        cmocka_unit_test(the_lamps_side_is_lighter),
        cmocka_unit_test(an_overhang_casts_a_shadow),
        cmocka_unit_test(mirrored_strands_give_the_mirrored_picture),
        cmocka_unit_test(the_highlights_lie_apart),
        cmocka_unit_test(lighter_words_mean_lighter_hair),
        cmocka_unit_test(depth_is_counted_in_hairs),
        cmocka_unit_test(fine_hairs_are_as_many_as_the_real_ones),
        cmocka_unit_test(none_stands_across_a_parting),
        cmocka_unit_test(coils_wind_round_their_line),
        cmocka_unit_test(same_bits_for_any_number_of_threads),
        cmocka_unit_test(every_allocation_may_fail),
        cmocka_unit_test(what_cannot_be_drawn_is_refused),
        cmocka_unit_test(odd_strands_do_no_harm),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
