/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_LAYOUT_H
#define BENCHTRUE_FIT_LAYOUT_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * Which boards make the blank, in which order, and where the finished edges fall on it.
 *
 * y runs across the grain from the back edge (0) to the front (the width).  Strips are
 * what is left of the boards in the finished piece; the outer two are trimmed, the
 * others are whole.  Each edge in a joint loses `jointing`; the two outer edges of the
 * blank do not.
 */

enum {
    BT_LAYOUT_BOARDS = 40, /* most that are given */
    BT_LAYOUT_EXACT = 20,  /* up to here the answer is proven */
    BT_LAYOUT_CLEARS = 64
};

/* Which way up the rings lie, as the board lies with its show face up. */
enum bt_rings { BT_RINGS_BARK_UP, BT_RINGS_BARK_DOWN, BT_RINGS_UNKNOWN };

struct bt_layout_board {
    double width;  /* mm, > 0, at most 2 m, before its edges lose `jointing` */
    double length; /* mm, > 0, at most 20 m; NaN: as long as is needed */
    enum bt_rings rings;
    bool may_turn; /* the other face may show: the rings then lie the other way */
};

enum bt_layout_order {
    BT_ORDER_FREE,
    BT_ORDER_LISTED /* as they lie; only boards at the back and at the front may be
                       left out */
};

/* What is cut off the outer boards. */
enum bt_layout_trim {
    BT_TRIM_ANY,   /* where the outer strips come out most nearly equal */
    BT_TRIM_EQUAL, /* so that the outer strips are equal */
    BT_TRIM_BACK, /* all at the back: the front edge of the blank is the finished one */
    BT_TRIM_FRONT /* all at the front */
};

/* What lies on the middle of the width. */
enum bt_layout_centre {
    BT_CENTRE_ANY,
    BT_CENTRE_BOARD, /* the middle half of a strip */
    BT_CENTRE_JOINT  /* a joint, to BT_CENTRE_JOINT_MM */
};
#define BT_CENTRE_JOINT_MM 1.0 /* ours: a pencil line */

enum bt_layout_ring_rule { BT_RINGS_ANY, BT_RINGS_ALTERNATE, BT_RINGS_MATCH };

/* No joint lies nearer to y than `within`. */
struct bt_layout_clear {
    double y, within; /* mm; within > 0 */
};

struct bt_layout_request {
    size_t nboard;
    const struct bt_layout_board *board; /* [nboard] as listed, from the back */
    double width;                        /* of the finished piece, mm, > 0: the extent
                                            across the grain of an outline */
    double length; /* a board shorter than that is not used, mm, > 0 */
    /* How far the strips' ends lie inside that extent, mm, >= 0; 0 for a rectangle. */
    double back_taper, front_taper; /* at the narrower end of the outer strip */
    double back_mean, front_mean;   /* half way between its two ends */
    enum bt_layout_order order;
    enum bt_layout_trim trim;
    double narrowest; /* of every strip, at both ends, mm, >= 0; 0: no such rule, a
                         strip may run out to a point */
    enum bt_layout_centre centre;
    double centre_at; /* y of the middle, mm; NaN: half the width */
    enum bt_layout_ring_rule rings;
    size_t nclear;
    const struct bt_layout_clear *clear; /* [nclear] */
    double jointing;                     /* off each edge in a joint, mm, >= 0 */
    double width_u;    /* standard uncertainty of one board's width, mm, >= 0 */
    double spare;      /* the blank is wider than the piece by at least this, mm, >= 0,
                          and by BT_LAYOUT_SURE u of its width */
    size_t step_limit; /* of the search; 0: the default, with which 20 boards have
                          always ended (see bench) */
};

/* Of a normal spread, 95 in 100 lie below this many u. */
#define BT_LAYOUT_SURE 1.6448536269514722

struct bt_layout_plan {
    bool found;
    bool proven;       /* none of less waste, nor (of that waste) of outer strips more
                          nearly equal; where not found: there is none */
    bool turns_proven; /* nor (of both) with fewer boards turned over */
    size_t n;          /* boards used */
    size_t board[BT_LAYOUT_BOARDS]; /* from the back */
    bool turned[BT_LAYOUT_BOARDS];  /* [n] the other face shows */
    double start[BT_LAYOUT_BOARDS]; /* [n] y at which the strip begins; the first is 0:
                                       joint k lies at start[k + 1] */
    double blank, blank_u;          /* width of the blank and its u, mm */
    double trim_back, trim_front;   /* mm */
    double first, last;             /* outer strips, at their mean width, mm */
    double narrowest;               /* of all strips, at its narrower end, mm */
    double shortest;                /* of the boards used, mm; NaN none stated */
    double wood, waste;             /* area of the boards used, and of it what is not in
                                       the rectangle width x length, mm2 */
    size_t nturned;
    size_t steps; /* states visited */
};

/*
 * Find the layout that keeps every rule and has, in this order: least waste, outer
 * strips most nearly equal, fewest boards turned over.  Rings that are not known fit
 * any neighbour.  Lengths count in whole nanometres, so that equal means equal.
 *
 *   avoid[navoid]  sets of boards that are not wanted, bit i for board i; NULL with 0
 *   plan           out: found false where no layout keeps the rules; untouched on error
 *
 * Method: a state is a set of inner boards; what is kept of it is every width of the
 * first strip for which they can follow it in some order with all their joints where
 * they may lie, as a list of intervals.  A set is reached from those with one board
 * less.  Sets with more wood than the best layout found are not followed.  With more
 * than BT_LAYOUT_EXACT boards in free order only some sets of each size are kept, and
 * the answer is not proven.
 *
 * Returns BT_OK; BT_EINPUT (no board, over BT_LAYOUT_BOARDS, over BT_LAYOUT_CLEARS, a
 * number outside its range: row is the board or the clear position, message says
 * which); BT_ENOMEM.
 */
BT_API enum bt_status bt_layout_find(const struct bt_layout_request *request,
                                     size_t navoid, const unsigned long long avoid[],
                                     struct bt_layout_plan *plan, struct bt_error *err);

/* The set of boards that a plan uses, for `avoid`. */
BT_API unsigned long long bt_layout_set(const struct bt_layout_plan *plan);

/* A rule that can be given up. */
enum bt_layout_rule {
    BT_RULE_NARROWEST,
    BT_RULE_CLEAR, /* one of them */
    BT_RULE_CENTRE,
    BT_RULE_RINGS,
    BT_RULE_TRIM,
    BT_RULE_ORDER,
    BT_RULE_SPARE,
    BT_RULES
};

/* What a layout differs in from the best one. */
enum bt_layout_way {
    BT_WAY_OTHER_BOARDS, /* best with another set of boards */
    BT_WAY_EQUAL_STRIPS, /* best with equal outer strips */
    BT_WAY_ONE_EDGE,     /* best with one edge of the blank kept */
    BT_WAY_LISTED,       /* best in the order listed */
    BT_WAY_WITHOUT,      /* best without a rule */
    BT_WAY_RINGS,        /* best with rings that alternate */
    BT_WAY_CENTRE        /* best with a board on the centre */
};

struct bt_layout_other {
    enum bt_layout_way way;
    enum bt_layout_rule rule; /* of BT_WAY_WITHOUT */
    size_t clear;             /* of BT_RULE_CLEAR: which one */
    struct bt_layout_plan plan;
};

enum { BT_LAYOUT_OTHERS = 3, BT_LAYOUT_BLOCKS = 2 * BT_RULES + BT_LAYOUT_CLEARS };

/* A rule looked at because nothing keeps all of them. */
struct bt_layout_block {
    enum bt_layout_rule rule;
    size_t clear;
    bool alone;   /* nothing keeps even this one alone */
    bool relaxed; /* without it the others can be kept: plan */
    struct bt_layout_plan plan;
};

struct bt_layout_answer {
    struct bt_layout_plan best;
    double missing;   /* mm that all boards together are too narrow for the piece; 0 */
    size_t too_short; /* boards shorter than the piece */
    size_t nother;    /* where best is found */
    struct bt_layout_other other[BT_LAYOUT_OTHERS];
    size_t nblock; /* where it is not and nothing is missing */
    struct bt_layout_block *block;
    bool without_found;        /* some block is relaxed or `all` is found */
    struct bt_layout_plan all; /* where no single rule helps: without any rule */
};

/*
 * The best layout with up to three that differ from it in what can be seen; or, where
 * none keeps the rules, what each rule costs.
 *
 * Others, in this order, where they exist and differ in boards, order or trim: other
 * boards; equal outer strips where the best has none, else one edge of the blank kept
 * (each whatever the rule of the trim says); a rule given up, where that saves wood
 * (the one that saves most); the order listed; where no rule asks for it, rings that
 * alternate, and a board on the centre.
 *
 *   out  to be freed with bt_layout_answer_clear; cleared on error
 *
 * Returns as bt_layout_find.
 */
BT_API enum bt_status bt_layout_choose(const struct bt_layout_request *request,
                                       struct bt_layout_answer *out,
                                       struct bt_error *err);

/* Free what it holds and clear it. */
BT_API void bt_layout_answer_clear(struct bt_layout_answer *answer);

#endif
