/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JOINT_EDGE_PLAN_H
#define BENCHTRUE_JOINT_EDGE_PLAN_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/joint/section.h"

/*
 * Which face goes to the fence for each edge.
 */

enum bt_pattern {
    BT_PATTERN_SAME_FACE,        /* every edge in */
    BT_PATTERN_ALTERNATE_BOARDS, /* both edges of a board in, both of the next out */
    BT_PATTERN_IN_AND_OUT, /* of each board the back edge in, the front edge out */
    BT_PATTERN_BEST,       /* searched for */
    BT_PATTERNS
};

/* `same face`, `alternate boards`, `in and out`, `best`. */
BT_API const char *bt_pattern_name(enum bt_pattern pattern);

/* Along which end of the board the grain runs out to its back edge, seen on the show
 * face with the back edge away. */
enum bt_grain { BT_GRAIN_UNKNOWN, BT_GRAIN_LEFT, BT_GRAIN_RIGHT };

/* How the boards pass the fence, seen by whoever stands at the machine facing it. */
enum bt_feed { BT_FEED_RIGHT_TO_LEFT, BT_FEED_LEFT_TO_RIGHT };

/*
 * The face that an edge must have at the fence to be fed with the grain.
 *
 * The cutterhead lies under the edge and turns against the feed: at the top of their
 * way the knives move from the leading towards the trailing end of the board, first
 * along the finished edge, then down and out of the wood (an up-cut: the chip begins at
 * the bottom of the cut).  A split runs ahead of the knife along the grain.  Where the
 * grain goes down to the edge towards the trailing end it runs out of the wood; where
 * it goes up it runs into the board and tears.  So the grain must run down to the edge
 * towards the trailing end, which is the right one if fed from right to left, on the
 * face that looks away from the fence.  Grain left: set on its back edge with the show
 * face towards whoever stands there, left and right have changed places, and the grain
 * runs down to the right: out.  Set on its front edge the grain, which runs out to the
 * back at the left, runs out to the front at the right: out again; one face serves both
 * edges.  Fed right to left: grain left -> out, right -> in; the other way round for
 * the other feed.  False where the grain is not known; *run is then untouched.
 */
BT_API bool bt_grain_run(enum bt_grain grain, enum bt_feed feed, enum bt_run *run);

/* What the maker allows for one board, of its edges and faces as it lies before it is
 * turned over: turned, back and front, in and out change places, and the face of wood
 * that must go to the fence stays the same. */
struct bt_board_rule {
    bool back_fixed, front_fixed; /* that edge must be run so: */
    enum bt_run back, front;
    bool may_turn;              /* either face may show */
    enum bt_grain grain;        /* as the board lies; turned over left and right
                                   change places */
    bool against_grain_allowed; /* false: an edge may not be fed against it */
};

struct bt_edge_plan_request {
    size_t nboard;                    /* 1 or more */
    const struct bt_strip *strip;     /* [nboard] */
    const struct bt_board_rule *rule; /* [nboard] */
    enum bt_feed feed;
    struct bt_edge_errors errors;
    enum bt_pattern pattern;
    /* Sizes are compared in whole steps: the whole part of size/step + 2^-20 (sums that
     * differ by rounding alone stay together). */
    double cup_step;   /* mm, > 0 (0.01) */
    double kink_step;  /* rad, > 0 */
    size_t node_limit; /* of the search, at least nboard; 0: the default, with which 24
                          boards have always ended (see bench) */
};

enum { BT_EDGE_PLAN_BOARDS = 1000, BT_EDGE_PLAN_NODES = 4000000 };

/* An edge of the plan that a rule speaks against. */
struct bt_edge_conflict {
    size_t board;
    bool front;
    enum { BT_CONFLICT_FACE, BT_CONFLICT_GRAIN } kind;
    bool forbidden; /* else a warning: against the grain where that is allowed */
};

struct bt_edge_plan {
    size_t nboard;
    struct bt_board_run *run;     /* [nboard] */
    bool proven;                  /* best: nothing better exists, departures and order
                                     included; never with more than 126 boards, for
                                     which departures are not counted in the search */
    double cup, kink;             /* mm, rad: sizes reached */
    double cup_bound, kink_bound; /* best, not proven: no pattern has a smaller |cup|;
                                     none of that cup step a smaller largest kink;
                                     else equal to those reached */
    size_t departures; /* joints at which whole-board alternation is left, and boards
                          whose two edges are run differently */
    size_t nodes;      /* visited */
    size_t nconflict;
    struct bt_edge_conflict *conflict;
};

/*
 * Choose.  A named pattern is taken as it is, no board turned, and what the rules say
 * against it is listed in conflict[]: forbidden ones first, then board by board, back
 * edge before front edge, face before grain; of the best pattern only what is against
 * the grain where that is allowed.  BT_PATTERN_BEST obeys the rules and
 * finds the pattern of least |cup| (in steps), then least largest kink (in steps), then
 * fewest departures from whole-board alternation, then fewest edges fed against the
 * grain where it is known and that is allowed, then the first in the order: boards
 * from the back, not turned before turned, in before out, back edge before front edge.
 * Edges that are in no joint (the panel's outer edges) follow their board's other edge
 * unless a rule fixes them.
 *
 *   plan  out: to be freed with bt_edge_plan_clear; untouched on error
 *
 * Returns BT_OK; BT_EINPUT (as bt_section_evaluate; more boards than
 * BT_EDGE_PLAN_BOARDS; cup_step or kink_step not > 0, or so small that the sizes reach
 * about 10^9 steps); BT_ESINGULAR (best: the rules leave a board no way at all;
 * err->row: the board, the message says which edge and which rules exclude each other);
 * BT_ENOMEM.  BT_ECALL: a pattern that is none.
 */
BT_API enum bt_status bt_edge_plan_find(const struct bt_edge_plan_request *request,
                                        struct bt_edge_plan *plan,
                                        struct bt_error *err);

/* Free and set to zero; NULL is accepted. */
BT_API void bt_edge_plan_clear(struct bt_edge_plan *plan);

/* What happens if one board is run, on both its edges, with the other face than
 * planned. */
struct bt_forgotten {
    size_t board;
    double cup;     /* mm, signed */
    double kink;    /* rad, size of the largest */
    double opening; /* mm, the largest */
};

/*
 * One row a board, worst |cup| first (then largest opening, then board).
 *
 *   out[n]  n boards
 *
 * Returns as bt_section_evaluate.
 */
BT_API enum bt_status bt_edge_plan_forgotten(size_t n, const struct bt_strip strip[],
                                             const struct bt_board_run run[],
                                             const struct bt_edge_errors *errors,
                                             struct bt_forgotten out[],
                                             struct bt_error *err);

#endif
