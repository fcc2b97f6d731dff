/* Named places on the head. */
#include <string.h>

#include "head.h"

typedef struct row {
    const char *name;
    double x, y, z; /* direction from the star centre, over the skull's semi-axes */
} row;

static const row rows[LW_LANDMARK_COUNT] = {
    [LW_FRONT_HAIRLINE] = {"front hairline", 0, .64, .82},
    [LW_APEX] = {"apex", 0, 1, -.08},
    [LW_HIGH_CROWN] = {"high crown", 0, .87, -.5},
    [LW_CROWN] = {"crown", 0, .66, -.75},
    [LW_OCCIPITAL_BONE] = {"occipital bone", 0, -.43, -.9},
    [LW_NAPE_CENTRE] = {"nape centre", 0, -1.28, -.71},
    [LW_RECESSION_LEFT] = {"recession left", .50, .62, .62},
    [LW_RECESSION_RIGHT] = {"recession right", -.50, .62, .62},
    [LW_TEMPLE_LEFT] = {"temple left", .80, .32, .56},
    [LW_TEMPLE_RIGHT] = {"temple right", -.80, .32, .56},
    [LW_SIDEBURN_LEFT] = {"sideburn left", .93, -.41, .22},
    [LW_SIDEBURN_RIGHT] = {"sideburn right", -.93, -.41, .22},
    [LW_EAR_TOP_LEFT] = {"ear top left", .98, -.10, 0},
    [LW_EAR_TOP_RIGHT] = {"ear top right", -.98, -.10, 0},
    [LW_BEHIND_EAR_LEFT] = {"behind ear left", .90, -.50, -.31},
    [LW_BEHIND_EAR_RIGHT] = {"behind ear right", -.90, -.50, -.31},
    [LW_NAPE_CORNER_LEFT] = {"nape corner left", .52, -1.23, -.46},
    [LW_NAPE_CORNER_RIGHT] = {"nape corner right", -.52, -1.23, -.46},
    [LW_PARIETAL_RIDGE_LEFT] = {"parietal ridge left", .71, .71, -.1},
    [LW_PARIETAL_RIDGE_RIGHT] = {"parietal ridge right", -.71, .71, -.1},
};

const char *lw_landmark_name(lw_landmark id) { return (unsigned)id < LW_LANDMARK_COUNT ? rows[id].name : ""; }

int lw_landmark_find(const char *name) {
    for (int i = 0; i < LW_LANDMARK_COUNT; i++)
        if (strcmp(name, rows[i].name) == 0) return i;
    return -1;
}

lw_landmark lw_landmark_mirror(lw_landmark id) {
    return id < LW_RECESSION_LEFT ? id : (lw_landmark)((unsigned)id ^ 1U);
}

lw_vec3 lw_head_landmark(const lw_head *head, lw_landmark id) {
    return (unsigned)id < LW_LANDMARK_COUNT ? head->landmark[id] : v3((double)NAN, (double)NAN, (double)NAN);
}

lw_vec3 lw_head_place(const lw_head *head, lw_place place) {
    lw_vec3 from = lw_head_landmark(head, (lw_landmark)place.from);
    if (place.to < 0) return from;
    return lw_head_between(head, from, lw_head_landmark(head, (lw_landmark)place.to), place.at);
}

lw_landmark lw_head_nearest_landmark(const lw_head *head, lw_vec3 p) {
    int nearest = 0;
    for (int i = 1; i < LW_LANDMARK_COUNT; i++)
        if (v3_norm(v3_sub(p, head->landmark[i])) < v3_norm(v3_sub(p, head->landmark[nearest]))) nearest = i;
    return (lw_landmark)nearest;
}

void landmarks_place(lw_head *head) {
    const surface *s = &head->surface;
    for (int i = 0; i < LW_LANDMARK_COUNT; i++) {
        lw_landmark other = lw_landmark_mirror((lw_landmark)i);
        if ((int)other < i) {
            head->landmark[i] = v3_mirror(head->landmark[other]);
            continue;
        }
        lw_vec3 d = v3(rows[i].x * s->axes.x, rows[i].y * s->axes.y, rows[i].z * s->axes.z);
        head->landmark[i] = surface_point(s, d, NULL);
    }
}
