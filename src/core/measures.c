/* What the measures of heads are like: published means, standard deviations and correlations, and
 * what they say about a head of which only some measures are known.
 *
 * The measures of one sex are taken as jointly Gaussian. Each measure is tied to its `parents`, measures
 * before it whose correlation with it is published or assumed, and is independent of all others given
 * them. As the parents of each are tied to one another, this is the completion of the correlation
 * matrix that assumes least: the one of greatest determinant (Dempster, Biometrics 28:157, 1972).
 *
 * Sources. ANSUR II: Gordon et al., 2012 Anthropometric Survey of U.S. Army Personnel, NATICK/TR-15/007 (men
 * 4082, women 1986). ANSUR: Gordon et al., 1988 Anthropometric Survey, NATICK/TR-89/044 (men 1749, women
 * 2208). Both are works of the US Government in the public domain. The arcs were measured in 1988 only and
 * are taken as they were: the larger circumference of men in 2012 would lengthen them by some 3 mm, a quarter
 * of a standard deviation. The women's circumference is that of 1988 too: in 2012 the tape went over braids,
 * and 546 mm is what the men's 1.029 times the ellipse on length and breadth gives for the women's 2012
 * calipers. */
#include "head.h"
#include "linear.h"

enum { WOMAN, MAN, SEXES };
#define PARENTS 4

typedef struct measure_row {
    const char *name;
    double low, high;              /* cm: what is taken at all */
    double mean[SEXES], sd[SEXES]; /* mm */
    int parents;
    struct {
        lw_measure of;
        double r[SEXES];
    } parent[PARENTS];
} measure_row;

static const measure_row rows[LW_MEASURE_COUNT] = {
    /* ANSUR 1988 women, ANSUR II men */
    [LW_CIRCUMFERENCE] = {"circumference", 42, 72, {546.2, 574.4}, {14.7, 16.1}, 0, {{0}}},
    /* ANSUR II, and its correlations */
    [LW_HEAD_BREADTH] =
        {"head_breadth", 11, 20, {147.8, 154.3}, {5.2, 5.5}, 1, {{LW_CIRCUMFERENCE, {.494, .554}}}},
    [LW_HEAD_LENGTH] = {"head_length",
                        14,
                        25,
                        {189.8, 199.5},
                        {7.5, 7.0},
                        2,
                        {{LW_CIRCUMFERENCE, {.757, .823}}, {LW_HEAD_BREADTH, {.220, .176}}}},
    [LW_EAR_TO_TOP] = {"ear_to_top",
                       9,
                       18,
                       {126.5, 131.2},
                       {6.6, 6.2},
                       3,
                       {{LW_CIRCUMFERENCE, {.375, .387}},
                        {LW_HEAD_BREADTH, {.331, .307}},
                        {LW_HEAD_LENGTH, {.286, .288}}}},
    /* ANSUR 1988; the correlation with the height is assumed: half an ellipse on breadth and height lengthens
     * by about 1.2 mm for each mm of height and 1.0 for each of breadth, which with the sds given makes .7 */
    [LW_EAR_TO_EAR_OVER_TOP] = {"ear_to_ear_over_top",
                                25,
                                48,
                                {336.4, 353.4},
                                {12.9, 12.9},
                                4,
                                {{LW_CIRCUMFERENCE, {.596, .567}},
                                 {LW_HEAD_BREADTH, {.557, .564}},
                                 {LW_HEAD_LENGTH, {.342, .315}},
                                 {LW_EAR_TO_TOP, {.70, .70}}}},
    /* ANSUR 1988; the correlation with the circumference is assumed */
    [LW_EAR_TO_EAR_HAIRLINE] = {"ear_to_ear_hairline",
                                22,
                                45,
                                {307.5, 326.4},
                                {10.7, 11.6},
                                2,
                                {{LW_EAR_TO_EAR_OVER_TOP, {.689, .678}}, {LW_CIRCUMFERENCE, {.60, .60}}}},
    /* ANSUR 1988; the correlations are assumed */
    [LW_EAR_TO_EAR_FOREHEAD] = {"ear_to_ear_forehead",
                                20,
                                42,
                                {287.9, 304.4},
                                {9.9, 10.6},
                                2,
                                {{LW_EAR_TO_EAR_HAIRLINE, {.75, .75}}, {LW_CIRCUMFERENCE, {.65, .65}}}},
    /* No survey found. Worked out on the fitted heads of the population above with the tape's ends where they
     * usually lie and scattered about there: nape centre 78 mm (women 74) below the tragions, sd 7 mm; temple
     * sd 5 mm; nape corner 46 degrees round the neck, sd 5 (from memory). Wig caps come in the same sizes
     * (from memory). */
    [LW_HAIRLINE_TO_NAPE] = {"hairline_to_nape",
                             25,
                             50,
                             {345, 358},
                             {15, 14},
                             3,
                             {{LW_CIRCUMFERENCE, {.52, .60}},
                              {LW_HEAD_LENGTH, {.60, .63}},
                              {LW_EAR_TO_TOP, {.76, .73}}}},
    [LW_TEMPLE_TO_TEMPLE_BACK] = {"temple_to_temple_back",
                                  28,
                                  56,
                                  {393, 413},
                                  {17, 18},
                                  3,
                                  {{LW_CIRCUMFERENCE, {.61, .66}},
                                   {LW_EAR_TO_EAR_FOREHEAD, {.20, .24}},
                                   {LW_EAR_TO_EAR_HAIRLINE, {.55, .56}}}},
    [LW_NAPE_WIDTH] = {"nape_width",
                       4,
                       20,
                       {110, 116},
                       {12, 12},
                       2,
                       {{LW_CIRCUMFERENCE, {.31, .29}}, {LW_HEAD_LENGTH, {.37, .33}}}},
};

/* Parents before children. */
static const lw_measure in_turn[LW_MEASURE_COUNT] = {
    LW_CIRCUMFERENCE,         LW_HEAD_BREADTH,        LW_HEAD_LENGTH,         LW_EAR_TO_TOP,
    LW_EAR_TO_EAR_OVER_TOP,   LW_EAR_TO_EAR_HAIRLINE, LW_EAR_TO_EAR_FOREHEAD, LW_HAIRLINE_TO_NAPE,
    LW_TEMPLE_TO_TEMPLE_BACK, LW_NAPE_WIDTH};

const char *lw_measure_name(lw_measure id) { return (unsigned)id < LW_MEASURE_COUNT ? rows[id].name : ""; }

void measure_range(lw_measure id, double *low, double *high) {
    *low = rows[id].low * .01;
    *high = rows[id].high * .01;
}

static void correlations(square_matrix r, int sex) {
    for (int i = 0; i < LW_MEASURE_COUNT; i++) {
        lw_measure id = in_turn[i];
        const measure_row *row = &rows[id];
        double weight[LW_MEASURE_COUNT] = {0};
        square_matrix l = {{0}};
        for (int a = 0; a < row->parents; a++) {
            weight[a] = row->parent[a].r[sex];
            for (int b = 0; b < row->parents; b++) l[a][b] = r[row->parent[a].of][row->parent[b].of];
        }
        cholesky(l, row->parents);
        cholesky_solve(l, row->parents, weight);
        for (int j = 0; j < i; j++) {
            double sum = 0;
            for (int a = 0; a < row->parents; a++) sum += weight[a] * r[row->parent[a].of][in_turn[j]];
            r[id][in_turn[j]] = r[in_turn[j]][id] = sum;
        }
        r[id][id] = 1;
    }
}

static void of_sex(population *out, int sex) {
    square_matrix r = {{0}};
    correlations(r, sex);
    for (int i = 0; i < LW_MEASURE_COUNT; i++) {
        out->mean[i] = rows[i].mean[sex] * 1e-3;
        for (int j = 0; j < LW_MEASURE_COUNT; j++)
            out->covariance[i][j] = r[i][j] * rows[i].sd[sex] * rows[j].sd[sex] * 1e-6;
    }
}

/* `adult`: women and men in equal parts, with the mean and covariance of the two together. */
void population_of(population *out, lw_head_kind kind) {
    if (kind == LW_HEAD_WOMAN || kind == LW_HEAD_MAN) {
        of_sex(out, kind == LW_HEAD_MAN ? MAN : WOMAN);
        return;
    }
    population woman, man;
    of_sex(&woman, WOMAN);
    of_sex(&man, MAN);
    for (int i = 0; i < LW_MEASURE_COUNT; i++) {
        out->mean[i] = (woman.mean[i] + man.mean[i]) / 2;
        for (int j = 0; j < LW_MEASURE_COUNT; j++)
            out->covariance[i][j] = (woman.covariance[i][j] + man.covariance[i][j]) / 2 +
                                    (man.mean[i] - woman.mean[i]) * (man.mean[j] - woman.mean[j]) / 4;
    }
}

double population_expect(const population *of, const double *given, lw_measure id, double *sd) {
    square_matrix l = {{0}};
    double weight[LW_MEASURE_COUNT];
    int known[LW_MEASURE_COUNT], n = 0;
    for (int i = 0; i < LW_MEASURE_COUNT; i++)
        if (given[i] > 0 && i != (int)id) known[n++] = i;
    for (int i = 0; i < n; i++) {
        weight[i] = of->covariance[known[i]][id];
        for (int j = 0; j < n; j++) l[i][j] = of->covariance[known[i]][known[j]] * 1e6; /* mm, for scale */
    }
    cholesky(l, n);
    cholesky_solve(l, n, weight);
    double mean = of->mean[id], variance = of->covariance[id][id];
    for (int i = 0; i < n; i++) {
        mean += weight[i] * 1e6 * (given[known[i]] - of->mean[known[i]]);
        variance -= weight[i] * 1e6 * of->covariance[known[i]][id];
    }
    if (sd) *sd = sqrt(variance > 0 ? variance : 0);
    return mean;
}

/* Uniform in (0, 1): the k-th number of stream `seed` (SplitMix64: Steele, Lea, Flood, OOPSLA 2014). */
static double uniform(uint64_t seed, uint64_t k) {
    uint64_t z = seed + (k + 1) * UINT64_C(0x9e3779b97f4a7c15);
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    z ^= z >> 31;
    return ((double)(z >> 11) + .5) * 0x1p-53;
}

/* Standard Gaussian, by Box and Muller. */
static double gaussian(uint64_t seed, uint64_t k) {
    return sqrt(-2 * logarithm(uniform(seed, 2 * k))) * cosine(2 * LW_PI * uniform(seed, 2 * k + 1));
}

void lw_head_sample(double *out, int n, lw_head_kind kind, uint64_t seed) {
    population of;
    population_of(&of, kind);
    square_matrix l = {{0}};
    for (int i = 0; i < LW_MEASURE_COUNT; i++)
        for (int j = 0; j < LW_MEASURE_COUNT; j++) l[i][j] = of.covariance[i][j] * 1e6;
    cholesky(l, LW_MEASURE_COUNT);
    for (int i = 0; i < n; i++) {
        double z[LW_MEASURE_COUNT];
        for (int j = 0; j < LW_MEASURE_COUNT; j++)
            z[j] = gaussian(seed, (uint64_t)i * LW_MEASURE_COUNT + (uint64_t)j);
        for (int j = 0; j < LW_MEASURE_COUNT; j++) {
            double v = 0;
            for (int k = 0; k <= j; k++) v += l[j][k] * z[k];
            out[i * LW_MEASURE_COUNT + j] = of.mean[j] + v * 1e-3;
        }
    }
}
