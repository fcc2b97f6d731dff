/* The scalp: roots on a head, each standing for a number of real hairs.
 *
 * The roots are equal-area samples (roots.c), so the number of hairs a root stands for is the local density
 * times the scalp's area over the count. Density is the person's, times a factor by region; the regions are
 * blended by Gaussian weights that sum to one, so equal factors everywhere change nothing but the whole. */
#include "scalp.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fail.h"
#include "vec.h"

#define ARRAYS 7
#define COUNT_MAX 5000000
#define SURVEY_COUNT 8192

/* The landmarks round which each region's factor holds. */
static const struct {
    int region;
    lw_landmark at;
} REGION[] = {
    {0, LW_FRONT_HAIRLINE},
    {0, LW_RECESSION_LEFT},
    {0, LW_RECESSION_RIGHT},
    {1, LW_APEX},
    {2, LW_CROWN},
    {3, LW_TEMPLE_LEFT},
    {3, LW_TEMPLE_RIGHT},
    {3, LW_EAR_TOP_LEFT},
    {3, LW_EAR_TOP_RIGHT},
    {3, LW_BEHIND_EAR_LEFT},
    {3, LW_BEHIND_EAR_RIGHT},
    {4, LW_NAPE_CENTRE},
    {4, LW_NAPE_CORNER_LEFT},
    {4, LW_NAPE_CORNER_RIGHT},
};
#define REGION_PLACES ((int)(sizeof REGION / sizeof REGION[0]))

lw_scalp_options lw_scalp_default(void) {
    return (lw_scalp_options){
        .count = 20000,
        .seed = 1,
        .density = 2.0e6,
        .region = {1, 1, 1, 1, 1},
        .whorl_count = 1,
        /* Clockwise in 83.9 %, right of the centre in 70.8 % (Schmidt et al. 2008, doi 10.1100/tsw.2008.113);
         * how far right is from memory. */
        .whorl = {{.right = 0.01, .back = 0, .sense = 1}, {.sense = 1}},
    };
}

static lw_status refuse(lw_error *error, const char *place, const char *message, const char *remedy) {
    return fail(error, LW_ERROR_ARGUMENT, place, remedy, "%s", message);
}

static bool within(double value, double low, double high) { return value >= low && value <= high; }

static bool is_place(lw_place place) {
    return place.from >= 0 && place.from < LW_LANDMARK_COUNT && place.to >= -1 &&
           place.to < LW_LANDMARK_COUNT && isfinite(place.at) && fabs(place.at) <= 10;
}

static lw_status check_growth(const lw_scalp_options *o, lw_error *error) {
    if (o->whorl_count < 0 || o->whorl_count > 2)
        return refuse(error, "whorls", "there are 0, 1 or 2 whorls", "leave the others out");
    for (int i = 0; i < o->whorl_count; i++) {
        const lw_whorl *w = &o->whorl[i];
        if (!within(w->right, -0.1, 0.1) || !within(w->back, -0.1, 0.1))
            return refuse(error, "whorl", "a whorl lies within 10 cm of the crown",
                          "give how far right of the midline and behind the crown it is, such as 1 cm");
        if (w->sense != 1 && w->sense != -1)
            return refuse(error, "whorl", "a whorl turns clockwise (1) or the other way (-1)",
                          "choose one of them");
    }
    if (o->cowlick_count < 0 || o->cowlick_count > 8)
        return refuse(error, "cowlicks", "there are 0 to 8 cowlicks", "leave the others out");
    for (int i = 0; i < o->cowlick_count; i++) {
        const lw_cowlick *c = &o->cowlick[i];
        if (!is_place(c->at))
            return refuse(error, "cowlick", "this is not a place on the head", "name a landmark");
        if (!within(c->turn, -LW_PI, LW_PI))
            return refuse(error, "cowlick", "a cowlick turns growth by -180 to 180 degrees",
                          "give a smaller turn");
        if (!within(c->radius, 1e-3, 0.2))
            return refuse(error, "cowlick", "a cowlick reaches 0.1 to 20 cm", "give a radius such as 3 cm");
    }
    return LW_OK;
}

static lw_status check(const lw_scalp_options *o, lw_error *error) {
    if (o->count < 1 || o->count > COUNT_MAX)
        return refuse(error, "roots", "the number of roots is from 1 to 5,000,000",
                      "give a number such as 20000");
    if (!within(o->density, 1, 1e8))
        return refuse(error, "density", "density is from 0.0001 to 10,000 hairs per square centimetre",
                      "give a density such as 200 hairs per square centimetre");
    for (int i = 0; i < 5; i++)
        if (!within(o->region[i], 0, 10))
            return refuse(error, "density by region", "a factor on density is from 0 to 10",
                          "give 1 where the region is as dense as the rest");
    return check_growth(o, error);
}

static double density_at(const lw_scalp *scalp, const lw_vec3 *places, double spread, int i) {
    double sum = 0, weights = 0;
    for (int k = 0; k < REGION_PLACES; k++) {
        lw_vec3 away = v3_sub(v3(scalp->x[i], scalp->y[i], scalp->z[i]), places[k]);
        double w = exponential(-v3_dot(away, away) / (2 * spread * spread));
        sum += w * scalp->options.region[REGION[k].region];
        weights += w;
    }
    return sum / weights;
}

static void weigh(lw_scalp *scalp) {
    const double *region = scalp->options.region;
    double area = lw_head_scalp_area(scalp->head), spread = 0.15 * sqrt(area);
    double hairs = scalp->options.density * area / scalp->count;
    bool even = true;
    for (int i = 1; i < 5; i++) even = even && region[i] == region[0];
    lw_vec3 places[REGION_PLACES];
    for (int k = 0; k < REGION_PLACES; k++) places[k] = lw_head_landmark(scalp->head, REGION[k].at);
#pragma omp parallel for schedule(static)
    for (int i = 0; i < scalp->count; i++)
        scalp->weight[i] = hairs * (even ? region[0] : density_at(scalp, places, spread, i));
}

static bool allocate(lw_scalp *scalp) {
    size_t stride = ((size_t)scalp->count + 7) / 8 * 8, size = ARRAYS * stride * sizeof(double);
    double *block = aligned_alloc(64, size);
    if (!block) return false;
    memset(block, 0, size);
    double **arrays[ARRAYS] = {&scalp->x,  &scalp->y,  &scalp->z,     &scalp->nx,
                               &scalp->ny, &scalp->nz, &scalp->weight};
    for (int k = 0; k < ARRAYS; k++) *arrays[k] = block + (size_t)k * stride;
    scalp->stride = (int)stride;
    return true;
}

static lw_scalp *bare(const lw_head *head, const lw_scalp_options *options) {
    lw_scalp *scalp = calloc(1, sizeof *scalp);
    if (!scalp) return NULL;
    scalp->head = head;
    scalp->options = *options;
    scalp->count = options->count;
    if (allocate(scalp)) return scalp;
    free(scalp);
    return NULL;
}

static void dress(lw_scalp *scalp) {
    weigh(scalp);
    growth_prepare(scalp);
}

static lw_status make(lw_scalp *scalp, lw_error *error) {
    lw_scalp_options survey = scalp->options;
    survey.count = SURVEY_COUNT;
    survey.seed = 0;
    scalp->survey = bare(scalp->head, &survey);
    if (!scalp->survey) return fail_memory(error, "roots");
    lw_status status = roots_place(scalp, error);
    if (status) return status;
    dress(scalp);
    dress(scalp->survey);
    return LW_OK;
}

lw_status lw_scalp_new(lw_scalp **out, const lw_head *head, const lw_scalp_options *options,
                       lw_error *error) {
    *out = NULL;
    lw_status status = check(options, error);
    if (status) return status;
    lw_scalp *scalp = bare(head, options);
    if (!scalp) return fail_memory(error, "roots");
    status = make(scalp, error);
    if (status)
        lw_scalp_free(scalp);
    else
        *out = scalp;
    return status;
}

void lw_scalp_free(lw_scalp *scalp) {
    if (!scalp) return;
    lw_scalp_free(scalp->survey);
    free(scalp->x);
    free(scalp);
}

int lw_scalp_count(const lw_scalp *scalp) { return scalp->count; }

lw_vec3 lw_scalp_root(const lw_scalp *scalp, int i) { return v3(scalp->x[i], scalp->y[i], scalp->z[i]); }

lw_vec3 lw_scalp_normal(const lw_scalp *scalp, int i) { return v3(scalp->nx[i], scalp->ny[i], scalp->nz[i]); }

double lw_scalp_weight(const lw_scalp *scalp, int i) { return scalp->weight[i]; }
