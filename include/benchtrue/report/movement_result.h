/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_MOVEMENT_RESULT_H
#define BENCHTRUE_REPORT_MOVEMENT_RESULT_H

#include "benchtrue/fit/ends.h"
#include "benchtrue/fit/fixings.h"
#include "benchtrue/fit/holding.h"
#include "benchtrue/fit/opening.h"
#include "benchtrue/fit/seasons.h"
#include "benchtrue/ingest/job.h"
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
    size_t nboard;
    struct bt_wood *wood;           /* [nboard] */
    struct bt_seasons_board *board; /* [nboard] widths scaled to the panel's */
    struct bt_season_change *each;  /* [nboard] */
    bool one_piece;                 /* no boards.csv: the panel is taken as one */
    double boards_width;            /* sum of the boards' own widths; NaN none */
    bool scaled;                    /* which misses the panel's by over 2 mm */
    double width;
    struct bt_seasons seasons;
    enum bt_now_from now_from;
    const char *now_set; /* name of that set; "" */
    struct bt_season_change whole, back, front, length;
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
 *   opening  what is wanted at the walls; NULL: nothing is known of walls
 *   out      to be freed with bt_movement_answer_clear, also after an error
 *
 * Boards lie from the back edge; widths are taken as of today.
 *
 * BT_OK; BT_EINPUT: no climate, no width, no species or one not known (err->row the
 * board), wood too wet; BT_ENOMEM.
 */
BT_API enum bt_status bt_movement_answer_find(const struct bt_job *job,
                                              const struct bt_opening_plan *opening,
                                              struct bt_movement_answer *out,
                                              struct bt_error *err);

BT_API void bt_movement_answer_clear(struct bt_movement_answer *answer);

/* `over` where a fixing, a pair, an end, a joint or a load is; else `too close to
 * call`; else `not seen` where a fixing's travel or its hold under a stated load is not
 * known; else `within`, also where nothing is there to be judged. */
BT_API enum bt_verdict
bt_movement_answer_verdict(const struct bt_movement_answer *answer);

/* Whether anything is judged at all. */
BT_API bool bt_movement_answer_judges(const struct bt_movement_answer *answer);

#endif
