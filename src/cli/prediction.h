/* A plan carried out: everything from the file to the readings. */
#ifndef LW_CLI_PREDICTION_H
#define LW_CLI_PREDICTION_H

#include "command.h"
#include "lengthwise.h"

typedef struct prediction {
    const char *name; /* of the file */
    lw_plan plan;
    lw_head *head;
    lw_scalp *scalp;
    lw_cut *cut;
    lw_fall *fall; /* falling.h; NULL: it has not fallen */
    lw_reading reading;
    lw_fallen fallen; /* what the fall reads as; nothing where it was not read */
} prediction;

/* The options that say how it is carried out. */
typedef struct manner {
    int hairs;   /* 0: as many as usual */
    int threads; /* 0: as many as the machine has */
    bool seeded;
    uint64_t seed;
} manner;

#define OPTION_HAIRS_COUNT                                                                                   \
    {                                                                                                        \
        .name = "hairs-count", .kind = OPTION_WHOLE, .argument = "N", .low = 1, .high = 5e6,                 \
        .help = "Computes N hairs, each of which stands for many; 20000 if left out."                        \
    }
#define OPTION_SEED                                                                                          \
    {                                                                                                        \
        .name = "seed", .kind = OPTION_WHOLE, .argument = "N", .low = 0, .high = 1.8e19,                     \
        .help = "Seeds where the hairs stand and the errors of the hand. The same seed gives the same bits." \
    }
#define OPTION_THREADS                                                                                       \
    {                                                                                                        \
        .name = "threads", .kind = OPTION_WHOLE, .argument = "N", .low = 1, .high = 256,                     \
        .help = "Computes on N threads; as many as the machine has if left out. The result is the same."     \
    }

manner manner_of(const value *hairs, const value *seed, const value *threads);

/* Complains and returns an exit code on failure, when there is nothing to clear. */
int prediction_read(prediction *out, const char *path);
int prediction_run(prediction *p, manner how);
void prediction_clear(prediction *p);

#endif
