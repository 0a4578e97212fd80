/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_MOVEMENT_RESULT_H
#define BENCHTRUE_REPORT_MOVEMENT_RESULT_H

#include "benchtrue/fit/ends.h"
#include "benchtrue/fit/fixings.h"
#include "benchtrue/fit/holding.h"
#include "benchtrue/fit/layout.h"
#include "benchtrue/fit/opening.h"
#include "benchtrue/fit/piece.h"
#include "benchtrue/fit/seasons.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/report/layout_result.h"
#include "benchtrue/wood/drying.h"
#include "benchtrue/wood/ring.h"

/* `movement` of one job. */

/* Where the moisture of today is from. */
enum bt_now_from {
    BT_NOW_STATED,       /* [climate] now */
    BT_NOW_SET_MOISTURE, /* of the latest set of readings */
    BT_NOW_SET_AIR,
    BT_NOW_BOARDS, /* mean of boards.csv */
    BT_NOW_MIDDLE  /* nothing says: between the seasons */
};

/* Whose size the finished piece has. */
enum bt_size_from {
    BT_SIZE_OPENING, /* the piece that the measured opening asks for */
    BT_SIZE_LAYOUT,  /* [layout] */
    BT_SIZE_PANEL,   /* [panel] */
    BT_SIZE_BOARDS   /* of the width: sum of boards.csv */
};

/* What of the boards lies in it. */
enum bt_strips_from {
    BT_STRIPS_PANEL,   /* no boards.csv: it is taken as one */
    BT_STRIPS_PLAN,    /* as `layout` lays and trims them */
    BT_STRIPS_TRIMMED, /* as listed, from the back, the outer ones trimmed by [layout]
                          trim; evenly where it does not say */
    BT_STRIPS_LISTED,  /* as listed, whole */
    BT_STRIPS_SCALED   /* as listed, in proportion: their sum misses the width */
};

/* Why the line that does not move is where it is. */
enum bt_fixed_why {
    BT_FIXED_AS_STATED, /* [fixing] fixed */
    BT_FIXED_AT_HOME,   /* taken: the back edge is pushed home against its wall */
    BT_FIXED_AT_MIDDLE  /* taken: the middle of the width */
};

/* What other answers of the job say of the piece.  Nothing is owned. */
struct bt_movement_piece {
    const struct bt_opening_plan *opening; /* wanted at the walls; NULL: no walls */
    const struct bt_piece *fitted;     /* for the opening as measured; NULL: none was */
    const struct bt_layout_plan *plan; /* of the finished piece; NULL or not found:
                                          none */
};

/* Where the heart is taken to be when boards.csv does not say, mm from the middle of
 * the thickness (common practice, no source: a flat board of a middling log). */
#define BT_HEART_TAKEN 100.0

/* u of what a screw holds, as a share: that of the specific gravity, about 10 %, twice,
 * for it counts squared. */
#define BT_HOLD_SCATTER 0.2

/* Form of one board in a season. */
struct bt_ring_form {
    bool known;       /* which side the heart is on, and the thickness */
    bool heart_taken; /* BT_HEART_TAKEN */
    double dry, damp; /* cup of the board alone, mm, crowned positive; NaN */
};

/* Cup of the whole panel by its boards' rings, crowned positive, mm. */
struct bt_ring_forms {
    bool known;                                   /* of every board */
    struct bt_ring_panel laid_dry, laid_damp;     /* as they lie */
    struct bt_ring_panel turned_dry, turned_damp; /* heart up and down in turn */
    struct bt_ring_panel alike_dry, alike_damp;   /* all as the first */
};

struct bt_movement_fixing {
    struct bt_fixing_way way;
    struct bt_hold hold;
    enum bt_verdict moves; /* within: it lets the panel go */
    enum bt_verdict holds; /* of the load; within where none is stated */
};

struct bt_movement_answer {
    const struct bt_job *job;
    double confidence;
    size_t nboard; /* boards of which something lies in the piece; 1 without boards */
    size_t *row;   /* [nboard] of job->board */
    bool *turned;  /* [nboard] its other face shows */
    struct bt_wood *wood;           /* [nboard] */
    struct bt_seasons_board *board; /* [nboard] strips of the finished piece */
    struct bt_season_change *each;  /* [nboard] */
    enum bt_strips_from strips;
    double trim_back, trim_front; /* of BT_STRIPS_TRIMMED, mm; else 0 */
    double boards_width;          /* sum of the boards' own widths; NaN none */
    double length, width;         /* of the finished piece; length NaN not known */
    enum bt_size_from size;       /* of the width */
    bool home; /* in an opening, its back edge on the back wall: no joint there */
    enum bt_fixed_why fixed_why;
    const struct bt_piece *fitted; /* NULL: no opening was measured */
    struct bt_seasons seasons;
    enum bt_now_from now_from;
    const char *now_set; /* name of that set; "" */
    struct bt_season_change whole, back, front, length_change;
    size_t nfixing;
    struct bt_movement_fixing *fixing; /* [nfixing] */
    bool anchored; /* a fixing holds the fixed line: it gives no more than 1 mm, within
                      a tenth of the width of it */
    struct bt_fixing_pair pair;
    enum bt_verdict pair_verdict;
    struct bt_ends_room ends;
    enum bt_verdict ends_verdict;
    struct bt_seal seal[BT_WALLS]; /* NaN where there is no such wall */
    bool wall[BT_WALLS];
    enum bt_verdict seal_verdict[BT_WALLS];
    struct bt_ring_form *ring; /* [nboard] */
    struct bt_ring_forms rings;
    double thickness;    /* of the panel; NaN */
    double gradient_cup; /* of the panel, one percent between its faces, mm; NaN */
    struct bt_days tau;  /* days; NaN in it without the thickness */
};

/*
 * Movement of a job's panel through the year.
 *
 *   piece  what is known of it; NULL: nothing.  Must outlive the answer
 *   out    to be freed with bt_movement_answer_clear, also after an error
 *
 * Everything is of the finished piece, as cut to size: x from its left end, y from its
 * back edge, widths as of today.  Its size is that of `fitted`, else of [layout], else
 * of [panel].
 *
 * At a wall the joint is that of `fitted`, without it that of [opening].  The back edge
 * is pushed home unless [opening] back_joint is above 0: the wall stops it, so that all
 * of the movement shows at the front where [fixing] fixed does not say otherwise.
 *
 * BT_OK; BT_EINPUT: no climate, no width, no species or one not known (err->row the
 * board), wood too wet; BT_ENOMEM.
 */
BT_API enum bt_status bt_movement_answer_find(const struct bt_job *job,
                                              const struct bt_movement_piece *piece,
                                              struct bt_movement_answer *out,
                                              struct bt_error *err);

/* Row of boards.csv of strip i; NULL where the panel is taken as one. */
BT_API const struct bt_board *bt_movement_row(const struct bt_movement_answer *answer,
                                              size_t i);

/* Free what it holds and clear it. */
BT_API void bt_movement_answer_clear(struct bt_movement_answer *answer);

/* `over` where a fixing, a pair, an end, a joint or a load is; else `too close to
 * call`; else `not seen` where a fixing's travel or its hold under a stated load is not
 * known; else `within`, also where nothing is there to be judged. */
BT_API enum bt_verdict
bt_movement_answer_verdict(const struct bt_movement_answer *answer);

/* Whether anything is judged at all. */
BT_API bool bt_movement_answer_judges(const struct bt_movement_answer *answer);

/*
 * Strips of the piece as `layout` would lay them, for a panel that was not read yet:
 * boards that were glued and read lie as boards.csv lists them, whatever would have
 * been better.  A layout that cannot be asked for is `layout`'s to tell.
 *
 *   layout  out: what piece->plan then points into; to be freed with
 *           bt_layout_report_clear
 *   piece   fitted is looked at, plan is filled in
 *
 * BT_OK or BT_ENOMEM.
 */
BT_API enum bt_status bt_movement_lay(const struct bt_job *job,
                                      struct bt_layout_report *layout,
                                      struct bt_movement_piece *piece,
                                      struct bt_error *err);

#endif
