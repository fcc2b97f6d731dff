/* Combing as a field: hair runs away from where it was parted.
 *
 * A parting is a line on the scalp that pushes hair away as a charged wire would: every piece of it by the
 * inverse square of its distance, what points out of the skin left aside. Close to the line this is straight
 * away from it, to both sides; past its end hair fans out, and far off it runs away from the whole of it,
 * which is down. So the field is smooth everywhere but across the line, and nothing has to be blended. Whorls
 * part hair in the same way (growth.c). Brushed back is the same with the line along the front edge of the
 * scalp, and brushed forward with a point at the crown. Where the scalp faces down, as under the back of the
 * head, a comb leads nowhere but down.
 *
 * What the comb cannot do is change where a hair comes out of the skin: along its growth, at the root angle.
 * So the hair is turned from there toward where it is combed, in the plane of both, by a share of the angle
 * between them. Both stand on the outside of the scalp, and so does everything between them; and hair combed
 * against its growth comes out standing up, as it does (common practice: dried against its growth it lifts).
 *
 * Invariant: left and right are handled by the same arithmetic in the same order, lines run outward from the
 * midline, so mirror images come out equal to the bit. */
#include "worn.h"

#include "fail.h"
#include "head.h"
#include "scalp.h"

#define COMBED 0.8    /* share of the way a comb turns hair that is not dried there: ours */
#define INSIDE 0.06   /* metres inside the hairline from which hair stands at the middle's root angle: ours */
#define ARM 9         /* points of a line on one side of the midline */
#define TOUCHING 1e-9 /* metres: too near a line to say where away from it is */
#define UPRIGHT 1e-7  /* sine of the angle to the normal up to which a hair counts as straight out */
#define BEYOND 0.35   /* radians by which a parting runs on over the forehead */
#define BEFORE 0.15   /* radians by which the line hair is brushed back from lies in front of the hairline */
#define UNDER                                                                                                \
    0.35 /* part of the normal that points down, from which hair facing back is only combed down: ours */
#define BACK_FROM 0.15 /* part of it that points back, from which that begins ... */
#define BACK_TO 0.6    /* ... and from which it holds */

static double smooth(double from, double to, double x) {
    double t = fmin(fmax((x - from) / (to - from), 0), 1);
    return t * t * (3 - 2 * t);
}

/* ---- lines ---------------------------------------------------------------------------------- */

/* The surface point of the plane x in the direction `angle` (0 to the front, a quarter turn up) from the
 * height of the star centre; false where the plane passes the head by. */
static bool on_plane(lw_vec3 *out, const lw_head *head, double x, double angle) {
    lw_vec3 centre = lw_head_centre(head), d = v3(0, sine(angle), cosine(angle)),
            from = v3(x, centre.y, centre.z);
    double inside = 0, outside = 0.3;
    if (lw_head_radius(head, v3_sub(v3_along(from, d, 1e-6), centre)) <= x) return false;
    for (int i = 0; i < 50; i++) {
        double t = 0.5 * (inside + outside);
        lw_vec3 arm = v3_sub(v3_along(from, d, t), centre);
        if (v3_norm(arm) < lw_head_radius(head, arm))
            inside = t;
        else
            outside = t;
    }
    *out = v3_along(from, d, inside);
    return true;
}

static double angle_of(const lw_head *head, lw_landmark id) {
    lw_vec3 d = v3_sub(lw_head_landmark(head, id), lw_head_centre(head));
    return arc_tangent(d.y, d.z);
}

/* From the crown forward over the hairline, `away` from the midline. */
static bool lay_parting(worn *w, double away, double side) {
    const lw_head *head = w->scalp->head;
    double from = angle_of(head, LW_CROWN), to = angle_of(head, LW_FRONT_HAIRLINE) - BEYOND;
    for (int i = 0; i < WORN_LINE; i++) {
        lw_vec3 *p = &w->line[0][i];
        if (!on_plane(p, head, away, from + (to - from) * i / (WORN_LINE - 1))) return false;
        p->x = side * away;
    }
    w->parted = true;
    w->parting = side * away;
    w->arms = 1;
    w->count = WORN_LINE;
    return true;
}

/* In front of the hairline from the middle to the left recession, and its mirror image. */
static void lay_front(worn *w) {
    const lw_head *head = w->scalp->head;
    lw_vec3 from = lw_head_landmark(head, LW_FRONT_HAIRLINE), to = lw_head_landmark(head, LW_RECESSION_LEFT);
    w->arms = 2;
    w->count = ARM;
    for (int i = 0; i < ARM; i++) {
        lw_vec3 p = v3_along(from, v3_sub(to, from), (double)i / (ARM - 1));
        lw_vec3 d = v3_turn(v3_sub(p, lw_head_centre(head)), v3(1, 0, 0), BEFORE);
        w->line[0][i] = lw_head_project(head, v3_add(lw_head_centre(head), d), NULL);
        w->line[1][i] = v3_mirror(w->line[0][i]);
    }
}

static void lay_crown(worn *w) {
    w->arms = w->count = 1;
    w->line[0][0] = lw_head_landmark(w->scalp->head, LW_CROWN);
}

static void measure(worn *w) {
    for (int k = 0; k < w->arms; k++)
        for (int i = 0; i + 1 < w->count; i++) {
            lw_vec3 way = v3_sub(w->line[k][i + 1], w->line[k][i]);
            w->size[k][i] = v3_norm(way);
            w->along[k][i] = v3_unit(way);
        }
}

/* ---- the comb ------------------------------------------------------------------------------- */

/* The push of an evenly charged wire: the integral of (p - q) / |p - q|^3 over q, piece by piece. */
static lw_vec3 pushes(const worn *w, int arm, lw_vec3 p) {
    lw_vec3 sum = {0, 0, 0}, from = v3_sub(p, w->line[arm][0]);
    if (w->count == 1) return from;
    double near = v3_norm(from);
    for (int i = 0; i + 1 < w->count; i++) {
        lw_vec3 u = w->along[arm][i], next = v3_sub(p, w->line[arm][i + 1]);
        double far = v3_norm(next), start = -v3_dot(from, u), end = start + w->size[arm][i];
        lw_vec3 off = v3_along(from, u, start);
        double square = v3_dot(off, off);
        if (near > TOUCHING && far > TOUCHING && square > TOUCHING * TOUCHING) {
            sum = v3_along(sum, off, (end / far - start / near) / square);
            sum = v3_along(sum, u, 1 / far - 1 / near);
        }
        from = next;
        near = far;
    }
    return sum;
}

/* Where hair rooted at p, normal n, is combed to: unit, along the scalp. */
static lw_vec3 combed_to(const worn *w, lw_vec3 p, lw_vec3 n, lw_vec3 growth) {
    if (w->grown) return growth;
    lw_vec3 sum = pushes(w, 0, p);
    if (w->arms == 2) sum = v3_add(sum, pushes(w, 1, p));
    lw_vec3 away = v3_unit(v3_tangent(sum, n)), down = v3_unit(v3_tangent(v3(0, -1, 0), n));
    double under = smooth(0, UNDER, -n.y) * smooth(BACK_FROM, BACK_TO, -n.z);
    lw_vec3 way = v3_unit(v3_tangent(v3_along(v3_scale(away, 1 - under), down, under), n));
    return v3_dot(way, way) > 0 ? way : growth;
}

/* ---- the root ------------------------------------------------------------------------------- */

static double root_angle(const worn *w, lw_vec3 on) {
    return w->edge + (w->middle - w->edge) *
                         smooth(0, INSIDE, hairline_away(w->scalp->head, v3(fabs(on.x), on.y, on.z)));
}

double worn_root_angle(const worn *w, lw_vec3 p) {
    lw_vec3 on = lw_head_project(w->scalp->head, p, NULL);
    return lw_head_hairline(w->scalp->head, on) > 0 ? root_angle(w, on) : w->edge;
}

/* From one unit vector toward another, a share of the angle between them. */
static lw_vec3 turned(lw_vec3 from, lw_vec3 to, double share) {
    if (share == 0) return from;
    double with = v3_dot(from, to);
    lw_vec3 across = v3_along(to, from, -with);
    double size = v3_norm(across), angle = share * arc_tangent(size, with);
    if (!(size > 1e-12)) return from;
    return v3_unit(v3_along(v3_scale(from, cosine(angle)), across, sine(angle) / size));
}

static worn_root leave(const worn *w, lw_vec3 on, lw_vec3 n, double angle) {
    lw_vec3 growth = growth_at(w->scalp, on, n);
    worn_root root = {.combed = combed_to(w, on, n, growth), .hand = on.x >= 0 ? 1 : -1};
    lw_vec3 grows = v3_along(v3_scale(growth, cosine(angle)), n, sine(angle));
    lw_vec3 lies = v3_along(v3_scale(root.combed, w->cos_lift), n, w->sin_lift);
    root.direction = turned(grows, lies, w->combed);
    lw_vec3 across = v3_cross(n, root.direction);
    root.axis = v3_norm(across) > UPRIGHT ? v3_unit(across) : v3_cross(n, root.combed);
    if (w->parted) root.side = on.x >= w->parting ? 1 : -1;
    return root;
}

worn_root worn_at(const worn *w, lw_vec3 p) {
    lw_vec3 n, on = lw_head_project(w->scalp->head, p, &n);
    return leave(w, on, n, worn_root_angle(w, on));
}

worn_root worn_at_root(const worn *w, int i) {
    lw_vec3 on = lw_scalp_root(w->scalp, i);
    return leave(w, on, lw_scalp_normal(w->scalp, i), root_angle(w, on));
}

/* ---- making ready --------------------------------------------------------------------------- */

static bool within(double x, double low, double high) { return x >= low && x <= high; }

static lw_status check(const lw_hair *hair, const lw_worn *how, lw_error *error) {
    if (!within(how->way, LW_WORN_NONE, LW_WORN_FORWARD) || !within(how->offset, 0, .1))
        return fail(error, LW_ERROR_ARGUMENT, "worn.parting", "use a parting at most 10 cm off the midline",
                    "the parting that is worn is out of range");
    if (!within(how->wetness, 0, 1))
        return fail(error, LW_ERROR_ARGUMENT, "worn.wetness", "use 0 for dry to 1 for soaked through",
                    "wetness out of range");
    if (!(how->lift <= LW_PI / 2))
        return fail(error, LW_ERROR_ARGUMENT, "worn.blow_dry.lift", "use 0 to 90 degrees",
                    "lift out of range");
    if (!within(hair->root_angle_edge, 1e-3, LW_PI / 2) || !within(hair->root_angle_middle, 1e-3, LW_PI / 2))
        return fail(error, LW_ERROR_ARGUMENT, "hair.root_angle", "use 1 to 90 degrees",
                    "root angle out of range");
    return LW_OK;
}

lw_status worn_make(worn *out, const lw_scalp *scalp, const lw_hair *hair, const lw_worn *how,
                    lw_error *error) {
    *out = (worn){.scalp = scalp};
    lw_status status = check(hair, how, error);
    if (status != LW_OK) return status;
    double dry = how->lift < 0 ? 0 : 1 - how->wetness;
    out->edge = hair->root_angle_edge;
    out->middle = hair->root_angle_middle;
    out->grown = how->way == LW_WORN_NONE;
    out->combed = (out->grown ? 0 : COMBED) * (1 - dry) + dry;
    double lift = fmax(how->lift, 0) * dry;
    out->cos_lift = cosine(lift);
    out->sin_lift = sine(lift);
    bool parted = how->way == LW_WORN_LEFT || how->way == LW_WORN_RIGHT;
    double away = parted ? how->offset : 0, side = how->way == LW_WORN_RIGHT ? -1 : 1;
    if (how->way == LW_WORN_BACK) lay_front(out);
    if (how->way == LW_WORN_FORWARD) lay_crown(out);
    if ((parted || how->way == LW_WORN_CENTRE) && !lay_parting(out, away, side))
        return fail(error, LW_ERROR_ARGUMENT, "worn.offset",
                    "part it nearer to the midline, such as 4 cm from it",
                    "the parting, %.3g cm from the midline, is beside the head", 100 * away);
    measure(out);
    return LW_OK;
}
