/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_LAYOUT_PRIVATE_H
#define BENCHTRUE_FIT_LAYOUT_PRIVATE_H

#include <stdint.h>

#include "benchtrue/fit/layout.h"

/*
 * The layout in whole numbers: lengths in half nanometres, so that half of an even
 * length is one, areas in half nanometres times micrometres.
 */
typedef int64_t whole;

#define WHOLE_PER_MM 2000000.0

/* Closed intervals of one whole number, ascending, apart. */
enum { SPANS_MAX = 160 };
struct spans {
    size_t n;
    struct span {
        whole lo, hi;
    } item[SPANS_MAX];
};

/* Take lo .. hi out (hi < lo: nothing).  Where the list is full the smaller rest is
 * dropped and *cut set: what is kept is still true. */
void spans_remove(struct spans *s, whole lo, whole hi, bool *cut);

/* Keep what lies in lo .. hi. */
void spans_keep(struct spans *s, whole lo, whole hi);

/* Put the intervals of more[n] to those of s, likewise. */
void spans_join(struct spans *s, size_t n, const struct span more[], bool *cut);

/* Boards that can be used at all, numbered anew. */
struct layout_board {
    size_t index; /* in the request */
    whole width;  /* inside the blank: without what both edges lose */
    whole area;   /* of wood */
    int rings;    /* enum bt_rings */
    bool may_turn;
    bool inner; /* wide enough to be an inner strip */
};

struct layout_task {
    const struct bt_layout_request *request;
    size_t n;
    struct layout_board board[BT_LAYOUT_BOARDS];
    whole width, jointing;
    whole least_strip;             /* of any strip */
    whole least_first, least_last; /* of the outer strips, within the extent */
    whole mean_first, mean_last; /* how much narrower they are than that, on average */
    whole centre, centre_tol;
    whole spare[BT_LAYOUT_BOARDS + 1]; /* by the number of boards */
    size_t nclear;
    struct span clear[BT_LAYOUT_CLEARS]; /* no joint inside, ends excluded */
    whole least_area[2];                 /* the two smallest areas */
    size_t navoid;
    const unsigned long long *avoid; /* sets by the numbers of the request */
    size_t limit, steps;
    bool cut; /* something was left out of the search */
};

/* The best so far. */
struct layout_best {
    bool found;
    whole area, off; /* |first strip - last strip| */
    size_t turned;
    size_t n;
    size_t board[BT_LAYOUT_BOARDS]; /* numbers in the task */
    bool turn[BT_LAYOUT_BOARDS];
    whole first;    /* width of the first strip within the extent */
    bool turns_cut; /* fewer may have to be turned */
};

/* Of the board at place `place`, with `start` the way up of the first one's rings:
 * 0 or 1 boards turned over, -1 where it does not fit. */
int layout_turn(const struct layout_task *task, size_t board, size_t place, int start);

/* How often the search runs, once for each way up of the first board's rings. */
int layout_starts(const struct layout_task *task);

/* Widths of the first strip for which it keeps its rules and its joint may lie there.
 */
void layout_first(struct layout_task *task, struct spans *out);

/* Take out of s the first strips with which a board behind `sum` of inner boards would
 * lie on the centre as it may not. */
void layout_centre(struct layout_task *task, struct spans *s, whole sum, whole width);

/* Take out those with which the joint behind `sum` of inner boards is not clear. */
void layout_joint(struct layout_task *task, struct spans *s, whole sum);

/*
 * Close a layout: first board a, inner boards of that sum and number, last board b; s:
 * the first strips left.  Returns false where the rules cannot be kept, else the first
 * strip and how much the outer strips differ.
 */
bool layout_close(struct layout_task *task, size_t a, size_t b, size_t inner, whole sum,
                  size_t nspan, const struct span s[], whole *first, whole *off);

/* Is (area, off, turned) better than the best so far? */
bool layout_better(const struct layout_best *best, whole area, whole off,
                   size_t turned);

/* May a joint lie at y, and a board from p to p + width? */
bool layout_joint_clear(const struct layout_task *task, whole y);
bool layout_centre_clear(const struct layout_task *task, whole p, whole width);

/* One board alone is the whole panel. */
void layout_single(struct layout_task *task, struct layout_best *best);

/* Is the set, by the numbers of the task, one of those to avoid? */
bool layout_avoided(const struct layout_task *task, uint64_t set);

/* The three ways to search; each lays its best into best and returns BT_OK or
 * BT_ENOMEM. */
enum bt_status layout_exact(struct layout_task *task, struct layout_best *best);
enum bt_status layout_listed(struct layout_task *task, struct layout_best *best);
enum bt_status layout_beam(struct layout_task *task, struct layout_best *best);

#endif
