/* Hair that grows beside the ear.
 *
 * The cut takes the scalp for bare: an ear is folded flat under the comb. On the bust the ear's root stands
 * on the scalp's edge, some 5 mm wide, and no hair grows out of an ear: the hairline goes round it. So the
 * strip of scalp along it is drawn together, to come out between the crease and three times as far from the
 * hairline as the crease is; hairs keep their order, and lie half as close again at most. The few that would
 * still have to leave their root the wrong way, up at the ear's top, come out some millimetres farther.
 *
 * Nor does hair go through an ear. What the ear stands before when it is held out is held back from it, and
 * leaves its root that way: it lies behind the ear. What can be held out past the ear falls over it. */
#include "fall_ear.h"

#include "head.h"
#include "vec.h"

#define BESIDE                                                                                               \
    .03              /* metres from the line between an ear's top and its back: farther away nothing is done \
                      */
#define COVERED 1e-4 /* metres by which a root may lie inside the bust */
#define WIDEST .015  /* metres from hairline to crease, at most */
#define STRIDE 1.5e-3 /* metres, in which the crease is looked for, */
#define STEP 5e-4     /* and to which it is found */
#define DRAWN 3       /* times as far from the hairline as the crease: up to there roots are moved */
#define TURN .1       /* radians, by which the comb turns hair at a time to get it past the ear, */
#define TURNS 18      /* at most so often */
#define FROM 1.5e-3   /* metres from the root that a hair may lie in the skin */
#define LEAVES .02    /* metres over which it has to get past where it leaves its root, */
#define OVER .87      /* cosine of 30 degrees, by which hair at most is turned to pass over it */
#define GENTLY .7     /* cosine of 45 degrees: hair that has to turn by more grows elsewhere */
#define REACH .04     /* and held out over it */
#define STANDS .025   /* metres that an ear stands off the head, at most */

static lw_vec3 to_left(lw_vec3 p, bool right) { return right ? v3_mirror(p) : p; }

bool ear_near(const lw_head *head, lw_vec3 root) {
    if (head->given.kind > LW_HEAD_MAN) return false;
    lw_vec3 top = head->landmark[LW_EAR_TOP_LEFT], back = head->landmark[LW_BEHIND_EAR_LEFT];
    lw_vec3 to = v3_sub(back, top), from = v3_sub(to_left(root, root.x < 0), top);
    double along = fmin(fmax(v3_dot(from, to) / v3_dot(to, to), 0), 1);
    return v3_norm(v3_along(from, to, -along)) < BESIDE;
}

/* Along the scalp, the way that leads straight from the hairline. */
static lw_vec3 from_hairline(const lw_head *head, lw_vec3 p, lw_vec3 normal) {
    const double h = 1e-5;
    double x = lw_head_hairline(head, v3(p.x + h, p.y, p.z)) - lw_head_hairline(head, v3(p.x - h, p.y, p.z));
    double y = lw_head_hairline(head, v3(p.x, p.y + h, p.z)) - lw_head_hairline(head, v3(p.x, p.y - h, p.z));
    double z = lw_head_hairline(head, v3(p.x, p.y, p.z + h)) - lw_head_hairline(head, v3(p.x, p.y, p.z - h));
    return v3_unit(v3_tangent(v3(x, y, z), normal));
}

/* The scalp's point that lies `more` metres farther from the hairline than p, the way `away` leads. */
static lw_vec3 farther(const lw_head *head, lw_vec3 p, lw_vec3 away, double more) {
    return lw_head_project(head, v3_along(p, away, more), NULL);
}

/* How far from the hairline the ear's root ends, on the way through p; 0 where it does not come so far. */
static double crease(const lw_head *head, const ground *g, lw_vec3 p, lw_vec3 away, double inside) {
    double bare = WIDEST + STRIDE, covered = WIDEST;
    while (covered > 0 && ground_distance(g, farther(head, p, away, covered - inside), NULL) >= -COVERED)
        bare = covered, covered -= STRIDE;
    if (covered <= 0) return 0;
    while (bare - covered > STEP) {
        double at = .5 * (bare + covered);
        bool out = ground_distance(g, farther(head, p, away, at - inside), NULL) >= -COVERED;
        *(out ? &bare : &covered) = at;
    }
    return bare;
}

lw_vec3 ear_root(const lw_head *head, const ground *g, lw_vec3 root, double more, lw_vec3 *normal) {
    bool right = root.x < 0;
    lw_vec3 p = to_left(root, right);
    double inside = fmax(lw_head_hairline(head, p), 0);
    p = lw_head_project(head, p, normal);
    if (inside < DRAWN * WIDEST) {
        lw_vec3 away = from_hairline(head, p, *normal);
        double from = crease(head, g, p, away, inside);
        double drawn = fmax(from - inside / DRAWN, 0) + more;
        if (drawn > 0) p = lw_head_project(head, v3_along(p, away, drawn), normal);
    }
    *normal = to_left(*normal, right);
    return to_left(p, right);
}

static bool gets_past(const ground *g, lw_vec3 root, lw_vec3 way, double reach) {
    for (double at = FROM; at < reach; at += 1e-3)
        if (ground_distance(g, v3_along(root, way, at), NULL) < 0) return false;
    return true;
}

/* way, turned about the axis by the least that lets a straight hair get past the bust. */
static lw_vec3 past(const ground *g, lw_vec3 root, lw_vec3 way, lw_vec3 axis, double reach) {
    lw_vec3 out = way;
    for (int i = 1; i <= TURNS && !gets_past(g, root, out, reach); i++) out = v3_turn(way, axis, i * TURN);
    return out;
}

/* Whether a hair that leaves its root so comes to lie between head and ear. */
static bool goes_behind(const ground *g, lw_vec3 root, lw_vec3 way, lw_vec3 normal, double reach) {
    for (double at = 2e-3; at <= reach; at += 2e-3) {
        lw_vec3 p = v3_along(root, way, at);
        for (double out = 1e-3; out < STANDS; out += 1e-3)
            if (ground_distance(g, v3_along(p, normal, out), NULL) < -1e-3) return true;
    }
    return false;
}

bool ear_comb(const ground *g, lw_vec3 root, lw_vec3 normal, double length, lw_vec3 *leaves, lw_vec3 *held) {
    double near = fmin(length, LEAVES);
    lw_vec3 way = *leaves, across = v3_unit(v3_cross(way, normal));
    lw_vec3 back = v3_scale(normal, v3_cross(normal, way).z > 0 ? -1 : 1);
    bool behind = !gets_past(g, root, *held, fmin(length, REACH));
    if (gets_past(g, root, way, near)) {
        behind |= goes_behind(g, root, way, normal, near);
    } else {
        lw_vec3 over = past(g, root, way, across, near), beside = past(g, root, way, back, near);
        behind |= v3_dot(over, way) < OVER || v3_dot(beside, way) > v3_dot(over, way);
        way = behind ? beside : over;
    }
    bool gently = v3_dot(way, *leaves) > GENTLY;
    *leaves = way;
    if (behind) *held = past(g, root, way, back, length);
    return gently;
}
