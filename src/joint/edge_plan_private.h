/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_JOINT_EDGE_PLAN_PRIVATE_H
#define BT_JOINT_EDGE_PLAN_PRIVATE_H

#include <stdint.h>

#include "benchtrue/joint/edge_plan.h"

/*
 * The search for the best pattern in whole numbers.  Private.
 *
 * The cup is a sum over joints of kink times a share that depends on the widths alone,
 * and a kink a sum over two edges: so the cup is a sum over boards, each with at most
 * eight ways to be run.  What ties neighbours together is only the largest kink and the
 * departures.  A departure and an edge against the grain are one cost, in which a
 * departure outweighs all the edges.
 */

/* A step of the cup in the units that shares of boards are rounded to: so fine that
 * rounding does not show, and sums are exact and do not depend on their order. */
#define PLAN_STEP ((int64_t)1 << 30)
/* Sums this near below a whole step count as that step: 2^-20 of it. */
#define PLAN_NEAR ((int64_t)1 << 10)
/* The largest sum that may occur. */
#define PLAN_MOST ((int64_t)1 << 60)

enum { PLAN_OPTIONS = 8, PLAN_STATES = 4 };

/* One way to run a board.  A state is 2 turned + run of an edge: it fixes its lean. */
struct plan_option {
    struct bt_board_run run;
    int64_t cup;          /* units */
    unsigned back, front; /* states */
    unsigned cost;        /* of the board itself */
};

struct plan_board {
    size_t count;
    struct plan_option option[PLAN_OPTIONS]; /* in the order of preference */
};

/* The joint before board j, [front state of j - 1][back state of j]. */
struct plan_joint {
    int64_t kink[PLAN_STATES][PLAN_STATES]; /* whole steps; -1 no options do so */
};

struct plan_problem {
    size_t n;
    unsigned departure;       /* cost of one; an edge against the grain costs 1 */
    struct plan_board *board; /* [n] */
    struct plan_joint *joint; /* [n], joint[0] unused */
};

/* Whether edges in these states are a departure from whole-board alternation. */
unsigned plan_same_run(unsigned front, unsigned back);

/* What a rule asks of an edge of a board as it lies in the panel.  False: nothing. */
bool plan_face_rule(const struct bt_board_rule *rule, bool turned, bool front,
                    enum bt_run *run);
bool plan_grain_rule(const struct bt_board_rule *rule, enum bt_feed feed, bool turned,
                     enum bt_run *run);

/* BT_ESINGULAR: a board has no option; BT_EINPUT: the steps are too small; BT_ENOMEM.
 */
enum bt_status plan_problem_make(const struct bt_edge_plan_request *request,
                                 struct plan_problem *problem, struct bt_error *err);
void plan_problem_clear(struct plan_problem *problem);

/* Whole steps of a sum of cups. */
int64_t plan_steps(int64_t sum);

/* ---- what the boards behind can still do ---- */

/*
 * For each board j and each front state of the board before it: which sums boards j to
 * n - 1 can reach within a limit of kinks, and the least cost of it, in
 * bins.  A sum is base[j] + unit bin + something from low[j] to high[j], the rounding
 * to bins: a sum that can be reached is always found, one that cannot may seem to be.
 */
struct plan_table {
    const struct plan_problem *problem;
    int64_t most_kink;
    double unit;
    size_t *bins;                /* [n + 1] */
    int64_t *base;               /* [n + 1] */
    double *low, *high;          /* [n + 1] */
    uint32_t *shift;             /* [n][PLAN_OPTIONS] */
    uint16_t *least;             /* cost; PLAN_NEVER */
    uint16_t *block;             /* least of PLAN_BLOCK bins each */
    size_t *least_at, *block_at; /* [(n + 1) * PLAN_STATES] */
    bool counts;                 /* costs fit: else they are taken to be 0 */
};

enum { PLAN_NEVER = UINT16_MAX, PLAN_BLOCK = 64 };

/* Sizes of the sums that are looked for: whole steps from `from` to `to`. */
struct plan_band {
    int64_t from, to;
};

/* From the least sum that any pattern has to the largest, units. */
double plan_range(const struct plan_problem *problem);

/* bins: how many at most. */
enum bt_status plan_table_make(const struct plan_problem *problem, size_t bins,
                               struct plan_table *table, struct bt_error *err);
void plan_table_fill(struct plan_table *table, int64_t most_kink);
void plan_table_clear(struct plan_table *table);

/* Least cost, not more than wanted unless PLAN_NEVER, with which boards j to
 * n - 1 behind a board of that front state (any for j 0) bring `sum` into the band. */
unsigned plan_table_least(const struct plan_table *table, size_t j, unsigned state,
                          int64_t sum, const struct plan_band *band, unsigned wanted);

/* ---- search ---- */

struct plan_best {
    unsigned char *choice; /* [n] which option */
    bool proven;
    int64_t cup_bound, kink_bound; /* whole steps, of what is not excluded */
    size_t nodes;
};

/* best->choice is given. */
enum bt_status plan_search(const struct plan_problem *problem, size_t node_limit,
                           struct plan_best *best, struct bt_error *err);

#endif
