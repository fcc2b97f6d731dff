/* Pictures of the bust: that they show what is there, where it is, in the light they say. */
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

#include "depth.h"
#include "draw.h"
#include "failing.h"
#include "heads.h"
#include "light.h"
#include "near.h"
#include "raster.h"
#include "render.h"
#include "vec.h"

static lw_mesh mesh_of_kind(lw_head_kind kind, double cell) {
    lw_head *head = head_of(kind, .1, 0, 0);
    lw_mesh mesh = mesh_of(head, cell);
    lw_head_free(head);
    return mesh;
}

/* ---- where things come ---- */

enum { WIDTH = 240, HEIGHT = 220 };
static const double scale = 350; /* pixels per metre */

static stage stage_of(view_side side) {
    return (stage){
        .view = view_of(side), .centre = {0, -.1, 0}, .middle = {WIDTH / 2., HEIGHT / 2.}, .scale = scale};
}

static image picture_of(const lw_mesh *mesh, view_side side, bool transparent) {
    image out;
    lw_error error = {0};
    stage on = stage_of(side);
    render_options options = {
        .mesh = mesh, .on = &on, .width = WIDTH, .height = HEIGHT, .transparent = transparent};
    if (render(&out, &options, &error)) fail_msg("%s", error.message);
    return out;
}

static int opacity(const image *p, int x, int y) { return p->rgba[4 * (y * p->width + x) + 3]; }
static int red(const image *p, int x, int y) { return p->rgba[4 * (y * p->width + x)]; }

/* The columns and rows between which the picture is opaque by half. */
typedef struct bounds {
    double left, right, top, bottom;
} bounds;

static bounds seen_bounds(const image *p) {
    bounds b = {p->width, 0, p->height, 0};
    for (int y = 0; y < p->height; y++)
        for (int x = 0; x < p->width; x++) {
            if (opacity(p, x, y) < 128) continue;
            b = (bounds){fmin(b.left, x), fmax(b.right, x + 1), fmin(b.top, y), fmax(b.bottom, y + 1)};
        }
    return b;
}

static bounds mesh_bounds(const lw_mesh *mesh, const stage *on) {
    bounds b = {INFINITY, -INFINITY, INFINITY, -INFINITY};
    for (int i = 0; i < mesh->vertex_count; i++) {
        point p = stage_point(on, mesh->position[i]);
        b = (bounds){fmin(b.left, p.x), fmax(b.right, p.x), fmin(b.top, p.y), fmax(b.bottom, p.y)};
    }
    return b;
}

static void the_bust_is_as_large_as_it_is(void **state) {
    (void)state;
    lw_mesh mesh = mesh_of_kind(LW_HEAD_WOMAN, .006);
    for (int side = 0; side < VIEW_SIDES; side++) {
        image picture = picture_of(&mesh, (view_side)side, true);
        stage on = stage_of((view_side)side);
        bounds seen = seen_bounds(&picture), wanted = mesh_bounds(&mesh, &on);
        /* a pixel is half opaque where the outline passes its middle; ears are thin at their tips */
        assert_near(seen.left, wanted.left, 1);
        assert_near(seen.right, wanted.right, 1);
        assert_near(seen.top, wanted.top, 1);
        assert_near(seen.bottom, wanted.bottom, 1);
        image_clear(&picture);
    }
    lw_mesh_clear(&mesh);
}

static void a_ball_covers_a_disc(void **state) {
    (void)state;
    lw_mesh mesh = mesh_of_kind(LW_HEAD_SPHERE, .004);
    image picture = picture_of(&mesh, VIEW_FRONT, true);
    double sum = 0;
    for (int y = 0; y < HEIGHT; y++)
        for (int x = 0; x < WIDTH; x++) sum += opacity(&picture, x, y) / 255.;
    double disc = LW_PI * .1 * scale * .1 * scale;
    assert_near(sum / disc, 1,
                .002); /* the mesh lies within the ball by up to cell^2 / 8r: .0002 of its radius */
    image_clear(&picture);
    lw_mesh_clear(&mesh);
}

static void depth_is_that_of_the_surface(void **state) {
    (void)state;
    lw_mesh mesh = mesh_of_kind(LW_HEAD_SPHERE, .004);
    depth_map map;
    assert_int_equal(depth_map_new(&map, &mesh, view_of(VIEW_LEFT), .001, NULL), LW_OK);
    int inside = 0;
    for (int row = 0; row < map.height; row++)
        for (int column = 0; column < map.width; column++) {
            double x = map.left + (column + .5) * map.pixel, y = map.top - (row + .5) * map.pixel;
            double depth = map.depth[row * map.width + column], r2 = .01 - x * x - y * y;
            if (x * x + y * y > .101 * .101) assert_true(depth == -INFINITY);
            if (x * x + y * y > .09 * .09) continue;
            inside++;
            /* a triangle's sag, e^2 / 6R at its middle for edges of up to 1.5 cells, seen at a slant of up to
             * 64 degrees */
            assert_near(depth, sqrt(r2), 1.5 * 1.5 * .004 * .004 / .6 * .1 / sqrt(r2));
        }
    assert_true(inside > 20000);
    depth_map_clear(&map);
    lw_mesh_clear(&mesh);
}

static void every_sample_gets_a_triangle(void **state) {
    (void)state;
    lw_mesh mesh = mesh_of_kind(LW_HEAD_SPHERE, .01);
    enum { SIDE = 200 };
    static float depth[SIDE * SIDE];
    static int32_t triangle[SIDE * SIDE];
    raster r = {0, SIDE, SIDE, depth, triangle};
    flat *at = malloc((size_t)mesh.vertex_count * sizeof *at);
    assert_non_null(at);
    raster_flatten(at, &mesh, view_of(VIEW_FRONT), -.1, .1, .001);
    raster_wipe(&r);
    for (int32_t i = 0; i < mesh.triangle_count; i++) raster_triangle(&r, &mesh, at, i);
    for (int y = 0; y < SIDE; y++)
        for (int x = 0; x < SIDE; x++) {
            double from = hypot(x + .5 - SIDE / 2., y + .5 - SIDE / 2.) / (SIDE / 2.), w[3];
            if (from > 1) assert_int_equal(triangle[y * SIDE + x], -1);
            if (from > .98) continue;
            const int32_t *t = mesh.triangle[triangle[y * SIDE + x]]; /* would crash on a gap */
            raster_weights(&at[t[0]], &at[t[1]], &at[t[2]], x + .5, y + .5, w);
            double z = w[0] * at[t[0]].z + w[1] * at[t[1]].z + w[2] * at[t[2]].z;
            assert_near(z, depth[y * SIDE + x], 1e-7);
            assert_true(fmin(w[0], fmin(w[1], w[2])) > -1e-6 && z > 0);
        }
    free(at);
    lw_mesh_clear(&mesh);
}

static void left_is_the_mirror_of_right(void **state) {
    (void)state;
    lw_mesh mesh = mesh_of_kind(LW_HEAD_MAN, .008);
    image front = picture_of(&mesh, VIEW_FRONT, true), back = picture_of(&mesh, VIEW_BACK, true);
    image left = picture_of(&mesh, VIEW_LEFT, true), right = picture_of(&mesh, VIEW_RIGHT, true);
    int slack = 255 / 3 + 1; /* a row of a pixel's nine samples, on an edge */
    for (int y = 0; y < HEIGHT; y++)
        for (int x = 0; x < WIDTH; x++) {
            int other = WIDTH - 1 - x;
            assert_near(opacity(&front, x, y), opacity(&front, other, y), slack);
            assert_near(opacity(&front, x, y), opacity(&back, other, y), slack);
            assert_near(opacity(&left, x, y), opacity(&right, other, y), slack);
        }
    image_clear(&front);
    image_clear(&back);
    image_clear(&left);
    image_clear(&right);
    lw_mesh_clear(&mesh);
}

/* ---- light ---- */

/* A small floor of 11 x 11 corners 1 mm apart, looking up, under a level disc of radius a at height h. */
enum { FLOOR = 11, RIM = 40 };
static void make_parasol(lw_mesh *mesh, double a, double h) {
    int corners = FLOOR * FLOOR;
    *mesh = (lw_mesh){.vertex_count = corners + RIM + 1};
    mesh->position = calloc((size_t)mesh->vertex_count, sizeof *mesh->position);
    mesh->normal = calloc((size_t)mesh->vertex_count, sizeof *mesh->normal);
    mesh->triangle = calloc(2 * FLOOR * FLOOR + RIM, sizeof *mesh->triangle);
    assert_true(mesh->position && mesh->normal && mesh->triangle);
    for (int i = 0; i < corners; i++) {
        mesh->position[i] = v3(.001 * (i % FLOOR - FLOOR / 2), 0, .001 * (i / FLOOR - FLOOR / 2));
        mesh->normal[i] = v3(0, 1, 0);
        if (i % FLOOR == 0 || i < FLOOR) continue;
        int32_t quad[2][3] = {{i, i - 1, i - FLOOR - 1}, {i, i - FLOOR - 1, i - FLOOR}};
        memcpy(mesh->triangle[mesh->triangle_count], quad, sizeof quad);
        mesh->triangle_count += 2;
    }
    for (int k = 0; k <= RIM; k++) {
        double turn = 2 * LW_PI * k / RIM, r = k < RIM ? a : 0;
        mesh->position[corners + k] = v3(r * cos(turn), h, r * sin(turn));
        mesh->normal[corners + k] = v3(0, 1, 0);
        int32_t slice[3] = {corners + RIM, corners + (k + 1) % RIM, corners + k};
        if (k < RIM) memcpy(mesh->triangle[mesh->triangle_count++], slice, sizeof slice);
    }
}

/* Under the middle of a disc a share sin^2 of its half-angle of the sky is hidden (the disc's form factor;
 * any textbook on radiation). */
static void a_parasol_hides_its_share_of_the_sky(void **state) {
    (void)state;
    static const double heights[] = {.05, .1, .2};
    for (int i = 0; i < 3; i++) {
        double a = .1, h = heights[i];
        lw_mesh mesh;
        make_parasol(&mesh, a, h);
        light sky;
        float reach[FLOOR * FLOOR + RIM + 1];
        assert_int_equal(light_sky(&sky, 400, NULL), LW_OK);
        assert_int_equal(light_reach(reach, &mesh, &sky, NULL), LW_OK);
        assert_near(reach[FLOOR * FLOOR / 2], h * h / (a * a + h * h), .02); /* maps have pixels of 1 mm */
        assert_near(reach[FLOOR * FLOOR + RIM], 1, 1e-6);                    /* on top of it */
        light_clear(&sky);
        lw_mesh_clear(&mesh);
    }
}

static void nothing_hides_a_ball(void **state) {
    (void)state;
    lw_mesh mesh = mesh_of_kind(LW_HEAD_SPHERE, .005);
    float *reach = malloc((size_t)mesh.vertex_count * sizeof *reach);
    light sky, lamp;
    lw_vec3 toward = v3_unit(v3(1, 2, 3));
    assert_non_null(reach);
    assert_int_equal(light_sky(&sky, 64, NULL), LW_OK);
    assert_int_equal(light_reach(reach, &mesh, &sky, NULL), LW_OK);
    for (int i = 0; i < mesh.vertex_count; i++) assert_near(reach[i], 1, .02);
    assert_int_equal(light_lamp(&lamp, toward, .2, 24, NULL), LW_OK);
    for (int i = 0; i < lamp.count; i++) {
        assert_near(v3_norm(lamp.toward[i]), 1, 1e-12);
        assert_true(v3_dot(lamp.toward[i], toward) >= cos(.2));
    }
    light_clear(&sky);
    light_clear(&lamp);
    free(reach);
    lw_mesh_clear(&mesh);
}

static void light_comes_from_above_on_the_left(void **state) {
    (void)state;
    lw_mesh mesh = mesh_of_kind(LW_HEAD_SPHERE, .012);
    for (int side = 0; side < VIEW_SIDES; side++) {
        stage on = stage_of((view_side)side);
        point c = stage_point(&on, v3(0, 0, 0));
        image p = picture_of(&mesh, (view_side)side, false);
        int x = (int)c.x, y = (int)c.y, off = (int)(.06 * scale);
        assert_true(red(&p, x - off, y - off) > red(&p, x + off, y + off) + 8);
        assert_true(red(&p, x, y - off) > red(&p, x, y + off) + 4);
        image_clear(&p);
    }
    lw_mesh_clear(&mesh);
}

/* Between black and white there is room for all of the bust: neither burnt out nor lost in the dark. */
static void the_clay_keeps_its_tones(void **state) {
    (void)state;
    lw_mesh mesh = mesh_of_kind(LW_HEAD_WOMAN, .006);
    image p = picture_of(&mesh, VIEW_THREE_QUARTER_LEFT, true);
    int count[256] = {0}, all = 0;
    for (int i = 0; i < WIDTH * HEIGHT; i++) {
        if (p.rgba[4 * i + 3] < 255) continue;
        count[p.rgba[4 * i]]++;
        all++;
    }
    int dark = 0, bright = 0;
    for (int tone = 0; tone < 256; tone++) {
        if (tone < 40) dark += count[tone];
        if (tone > 250) bright += count[tone];
    }
    assert_true(all > 5000 && dark < all / 50 && bright < all / 50);
    assert_int_equal(opacity(&p, 0, 0), 0);
    image_clear(&p);
    p = picture_of(&mesh, VIEW_THREE_QUARTER_LEFT, false);
    assert_int_equal(opacity(&p, 0, 0), 255);
    assert_true(red(&p, 0, 0) > 220);
    image_clear(&p);
    lw_mesh_clear(&mesh);
}

/* Where the mesh is exact enough the surface itself gives the same picture; on a coarse one it changes the
 * face. */
static void sharp_places_are_looked_up_on_the_surface(void **state) {
    (void)state;
    lw_head *ball = head_of(LW_HEAD_SPHERE, .1, 0, 0), *bust = head_of(LW_HEAD_ADULT, 0, 0, 0);
    static const double cells[] = {.004, .01};
    for (int i = 0; i < 2; i++) {
        lw_head *head = i == 0 ? ball : bust;
        lw_mesh mesh;
        stage on = stage_of(VIEW_FRONT);
        image plain, closer;
        assert_int_equal(lw_mesh_new(&mesh, head, cells[i], NULL), LW_OK);
        render_options options = {.mesh = &mesh, .on = &on, .width = WIDTH, .height = HEIGHT};
        assert_int_equal(render(&plain, &options, NULL), LW_OK);
        options.head = head;
        assert_int_equal(render(&closer, &options, NULL), LW_OK);
        int differ = 0;
        for (int k = 0; k < WIDTH * HEIGHT * 4; k++) differ += abs(plain.rgba[k] - closer.rgba[k]) > 6;
        assert_true(i == 0 ? differ == 0 : differ > 500);
        image_clear(&plain);
        image_clear(&closer);
        lw_mesh_clear(&mesh);
    }
    lw_head_free(ball);
    lw_head_free(bust);
}

static void same_bits_for_any_number_of_threads(void **state) {
    (void)state;
    lw_mesh mesh = mesh_of_kind(LW_HEAD_ADULT, .008);
    image first = picture_of(&mesh, VIEW_THREE_QUARTER_RIGHT, false);
    for (int threads = 1; threads <= 5; threads += 2) {
#ifdef _OPENMP
        omp_set_num_threads(threads);
#endif
        image p = picture_of(&mesh, VIEW_THREE_QUARTER_RIGHT, false);
        assert_memory_equal(p.rgba, first.rgba, WIDTH * HEIGHT * 4);
        image_clear(&p);
    }
    image_clear(&first);
    lw_mesh_clear(&mesh);
}

/* ---- the file ---- */

static unsigned word(const unsigned char *p) {
    return (unsigned)p[0] << 24 | (unsigned)p[1] << 16 | (unsigned)p[2] << 8 | p[3];
}

static void a_picture_is_a_png_of_the_height_asked_for(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_ADULT, 0, 0, 0);
    draw_bust_options options = draw_bust_default();
    options.cell = .02;
    options.height = 100;
    for (int side = 0; side < DRAW_SIDES; side++) {
        options.side = (draw_side)side;
        draw_bytes png;
        lw_error error = {0};
        assert_int_equal(draw_bust(&png, head, &options, &error), LW_OK);
        assert_memory_equal(png.data, "\x89PNG\r\n\x1a\n\0\0\0\rIHDR", 16); /* ISO/IEC 15948 */
        assert_int_equal(word(png.data + 20), 100);
        assert_true(word(png.data + 16) > 40 && word(png.data + 16) < 200);
        draw_bytes_clear(&png);
    }
    lw_head_free(head);
}

static void refused(const lw_head *head, draw_bust_options options, const char *place) {
    draw_bytes png;
    lw_error error = {0};
    assert_int_equal(draw_bust(&png, head, &options, &error), LW_ERROR_ARGUMENT);
    assert_string_equal(error.place, place);
    assert_true(error.message[0] && error.remedy[0]);
    assert_null(png.data);
}

static void options_out_of_range_are_refused(void **state) {
    (void)state;
    lw_head *head = head_of(LW_HEAD_SPHERE, .1, 0, 0);
    refused(head, (draw_bust_options){DRAW_SIDES, 100, .01, false}, "side");
    refused(head, (draw_bust_options){(draw_side)-1, 100, .01, false}, "side");
    refused(head, (draw_bust_options){DRAW_FRONT, 15, .01, false}, "height");
    refused(head, (draw_bust_options){DRAW_FRONT, 8193, .01, false}, "height");
    refused(head, (draw_bust_options){DRAW_FRONT, 100, .1, false}, "cell");
    lw_head_free(head);
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    lw_mesh mesh = mesh_of_kind(LW_HEAD_SPHERE, .02);
    stage on = stage_of(VIEW_FRONT);
    render_options options = {.mesh = &mesh, .on = &on, .width = 40, .height = 40};
    int before = memory.live, n = 0;
    /* those of the maps of depth, past the first twenty, are all alike */
    for (bool refused = true; refused; n += n < 20 ? 1 : 11) {
        image p;
        lw_error error = {0};
        memory_fails_from(n);
        lw_status status = render(&p, &options, &error);
        refused = memory_failed();
        assert_int_equal(status, refused ? LW_ERROR_MEMORY : LW_OK);
        assert_int_equal(error.status, status);
        if (refused) assert_null(p.rgba);
        image_clear(&p);
        assert_int_equal(memory.live, before);
    }
    assert_true(n > 100);
    lw_mesh_clear(&mesh);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_bust_is_as_large_as_it_is),
        cmocka_unit_test(a_ball_covers_a_disc),
        cmocka_unit_test(depth_is_that_of_the_surface),
        cmocka_unit_test(every_sample_gets_a_triangle),
        cmocka_unit_test(left_is_the_mirror_of_right),
        cmocka_unit_test(a_parasol_hides_its_share_of_the_sky),
        cmocka_unit_test(nothing_hides_a_ball),
        cmocka_unit_test(light_comes_from_above_on_the_left),
        cmocka_unit_test(the_clay_keeps_its_tones),
        cmocka_unit_test(sharp_places_are_looked_up_on_the_surface),
        cmocka_unit_test(same_bits_for_any_number_of_threads),
        cmocka_unit_test(a_picture_is_a_png_of_the_height_asked_for),
        cmocka_unit_test(options_out_of_range_are_refused),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
