/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_JOB_H
#define BENCHTRUE_INGEST_JOB_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/feeler.h"
#include "benchtrue/base/print.h"
#include "benchtrue/fit/fixing.h"
#include "benchtrue/fit/layout_setup.h"
#include "benchtrue/fit/opening.h"
#include "benchtrue/fit/stock.h"
#include "benchtrue/ingest/faults.h"
#include "benchtrue/joint/clamping.h"
#include "benchtrue/joint/dry_fit.h"
#include "benchtrue/joint/edge_plan.h"
#include "benchtrue/joint/fence.h"
#include "benchtrue/joint/glue.h"
#include "benchtrue/judge/limits.h"
#include "benchtrue/judge/sag.h"
#include "benchtrue/judge/work_plan.h"
#include "benchtrue/surface/readings.h"
#include "benchtrue/wood/climate.h"
#include "benchtrue/wood/movement.h"

/*
 * Everything that the files of a job say, in inside units (mm, rad, degrees C, %).
 * NaN stands for "not stated" in every double, "" in every text.
 */

/*
 * Which face lies up and is read.  For the bottom face the panel is turned over about
 * its length, so that its front edge lies at the back.  Positions, corner letters and
 * line ends are typed and kept as the panel lies before the maker, y from the edge
 * that is then at the back, and z is up out of the face that is read: every figure is
 * as read on that face, and `A and C high` names the corners that the maker sees there
 * (a panel of even thickness that is twisted shows the same twist on both faces).
 * Against the panel's own frame, in which the joints lie, y is mirrored:
 * bt_job_panel_y.  Where both faces are compared z is negated as well.
 */
enum bt_face { BT_FACE_TOP, BT_FACE_BOTTOM };

enum bt_instrument_kind {
    BT_INST_STRAIGHTEDGE,
    BT_INST_FEELERS,
    BT_INST_DIAL,
    BT_INST_BAR,
    BT_INST_LEVEL,
    BT_INST_STICKS,
    BT_INST_SQUARE,
    BT_INST_ANGLE_GAUGE
};

struct bt_instrument {
    char *name;
    size_t line; /* of its section in job.ini */
    enum bt_instrument_kind kind;
    bool zero_unknown;   /* bar, level: each has one unknown zero */
    bool level;          /* dial: its set-ups stand on a level, flat reference, so
                            only the offset of a set-up is unknown */
    double u;            /* mm; level, square: mm/mm; angle gauge: rad.  Of a square
                            and a gauge: of the body, shared by all its checks */
    double resolution;   /* mm; level: mm/mm; angle gauge: rad.  Of a square: the step
                            of the feelers that are used with it, mm */
    double straightness; /* mm, limit for its middle over its ends */
    double own_hollow;   /* mm, hollow positive: how far its middle stands above the
                            line through its ends, by a line test; what it does to the
                            gaps is taken off them (surface/correction.h) */
    double own_hollow_u; /* mm, > 0; where it is not stated the last digit of own_hollow
                            over sqrt(12); NaN with own_hollow */
    double length;       /* mm: of a straightedge; of a bar, from foot to foot; NaN not
                            stated */
};

struct bt_panel {
    double length, width, thickness; /* mm */
    char *species;                   /* "" where not stated */
};

struct bt_board {
    char *name;
    size_t line;
    double width, thickness, length, moisture;
    double taper;                    /* mm, front edge thicker than back edge by this */
    char *species, *rings;           /* as typed; "" where not stated */
    struct bt_ring_angle ring_angle; /* of column `ring_angle`, else of `rings` where
                                        that is such a word; 0 to pi/2 not known */
    double heart; /* mm from the middle of its thickness to the heart of the tree */
    /* What the edge plan is given: columns `grain` (left, right), `show` (either: the
     * board may be turned over), `fence` (in, out, in/out, out/in: the show face at the
     * fence for both edges, or back edge / front edge) and `against_grain` (yes, no;
     * without it [fence] against_grain). */
    struct bt_board_rule rule;
};

/* How the u of a reading was found, for `check` and --details. */
enum bt_u_origin {
    BT_U_TYPED,      /* a u column */
    BT_U_INTERVAL,   /* go/no-go feelers */
    BT_U_INSTRUMENT, /* the instrument's u */
    BT_U_RESOLUTION, /* the instrument's resolution / sqrt(12) */
    BT_U_DIGIT,      /* last digits typed in the column / sqrt(12), see below */
    BT_U_ORIGINS
};

/*
 * Own error of a square and of an angle gauge whose u is not stated, as a standard
 * uncertainty: 0.05 and 0.1 degrees, rad (common practice, no source).
 */
#define BT_SQUARE_U_ASSUMED 0.00087266462599716477
#define BT_GAUGE_U_ASSUMED 0.0017453292519943296

/* [fence], and the checks of fence.csv. */
struct bt_fence_setup {
    double length, height;   /* mm; NaN not stated */
    double cutter;           /* station of the cutterhead, mm from the infeed end */
    enum bt_feed feed;       /* right to left where not stated */
    enum bt_pattern pattern; /* best where not stated */
    double scatter;          /* of one edge, rad; NaN not stated */
    double u_taper;          /* of a board's taper, mm; NaN not stated */
    bool against_grain;      /* edges may be fed against the grain; true where not
                                stated */
    size_t ncheck;
    struct bt_fence_check *check;  /* source: line of the file */
    char *file;                    /* as messages call it; "" where there is none */
    size_t u_origin[BT_U_ORIGINS]; /* where the u of gaps and angles are from */
    size_t blank;                  /* checks not taken */
    bool square_assumed, gauge_assumed; /* that u_own was taken for a check */
};

/* [opening], and the readings of opening.csv. */
struct bt_opening_setup {
    struct bt_opening_plan plan;
    size_t nreading;
    struct bt_opening_reading *reading; /* source: line of the file */
    size_t u_origin[BT_U_ORIGINS];      /* where their u is from */
    size_t blank;                       /* readings not taken */
};

/* [glue]. */
struct bt_glue_setup {
    const struct bt_glue *kind;        /* NULL not stated */
    double gap, open_time, clamp_time; /* mm, minutes: override the kind's; NaN */
    double temperature;                /* of the shop, C; NaN not stated */
    double pressure;                   /* MPa; NaN: from the density */
    double spread_time, place_time;    /* minutes a joint, a clamp; NaN not stated */
    double caul;                       /* width of the caul, mm; NaN not stated */
    size_t joints;                     /* most in one stage; 0 not stated */
};

/* [clamp NAME]. */
struct bt_clamp {
    char *name;
    size_t line; /* of its section in job.ini */
    struct bt_clamp_kind kind;
};

/* A joint of dryfit.csv. */
struct bt_dry_fit {
    size_t joint;  /* from 0, from the back edge */
    double length; /* mm: of the shorter of its two boards, else of the panel; NaN not
                      known.  No place lies beyond it */
    size_t ngap;
    struct bt_dry_gap *gap; /* source: line of the file */
};

/* Where a reading comes from. */
struct bt_source {
    size_t file; /* index into bt_set.file */
    size_t line;
};

/* Points of a scan from `first` to that of the next run stand on lines of one file
 * without a gap, beginning at `line`. */
struct bt_scan_run {
    size_t first;
    size_t file; /* index into bt_set.file */
    size_t line;
};

/* A reading that was not taken. */
struct bt_blank {
    enum bt_reading_kind kind;
    struct bt_source source;
    char *line;  /* its name; "" where the reading belongs to none, in a grid of gaps
                    the y or x of the line as typed */
    char *place; /* in words, `0 in` along a named line, else `x 0 in, y 12 in` */
    char corner; /* A to D where it lies at a corner of the panel as it was read, else
                    NUL */
    bool begun;  /* its line or set-up was read elsewhere */
    bool untouched; /* it is an end of a line of gaps that was begun, and no 0 is typed
                       on its side of the line's middle: the edge may have touched here
                     */
};

enum { BT_BLANKS_KEPT = 512 };

enum { BT_SUPPORTS_MAX = 16 };

/* On what the panel lay while it was read. */
struct bt_supports {
    enum bt_lying lying;
    size_t n; /* battens or rails, 2 or more; else 0 */
    double
        at[BT_SUPPORTS_MAX]; /* ascending: battens, x; rails, y as the panel lay; mm */
};

/* Something that `check` tells and that is no fault. */
struct bt_note {
    char *file;
    size_t line; /* 0 where it belongs to the whole file */
    char *text;
    bool matters; /* to what fence, edges, glueup and decide find: they tell it, too */
};

struct bt_set {
    char *name;    /* of its section; the file's name where there is no job */
    size_t line;   /* of its section in job.ini; 0 where there is none */
    char date[11]; /* YYYY-MM-DD or "" */
    enum bt_face face;
    char *supports; /* as typed, "" where not stated */
    struct bt_supports lying;
    int clamps; /* 1 on, 0 off, -1 not stated */
    double humidity, temperature, moisture;
    double moisture_top, moisture_bottom; /* percent, of the wood under each face; NaN
                                             not stated */
    size_t nfile;
    char **file; /* names as messages call them */

    struct bt_readings readings; /* x, y: places as read on that face (enum bt_face) */
    struct bt_source *source;    /* [readings.nobs] */
    size_t nrun;                 /* readings.scan: where the points come from, see */
    struct bt_scan_run *run;     /* bt_set_source */
    size_t kinds[BT_READ_KINDS]; /* readings of each kind; sum: readings.nobs, or
                                    readings.npoint of a scan */
    size_t u_origin[BT_U_ORIGINS];
    size_t blank;            /* cells of readings not taken */
    size_t nblanks;          /* the first of them whose place is known, at most */
    struct bt_blank *blanks; /* BT_BLANKS_KEPT; not of scans */
    size_t dropped; /* readings left out since their line or set-up was read at one
                       place only; a note says so for each */
    struct bt_source first_dropped;
    size_t skipped;  /* readings left out by --without */
    size_t too_long; /* lines longer than the straightedge they were read with; a note
                        says so for each */
    size_t merged;   /* points that were taken as one with another */
    bool one_reference; /* heights of one set-up, a paper grid of heights or a scan
                           and nothing else: the plane of the heights as typed has a
                           meaning */
    size_t nnote;
    struct bt_note *note;
};

/* A thickness of thickness.csv: place in the panel's own frame, seen from above its top
 * face. */
struct bt_thickness_place {
    double x, y, thickness; /* mm */
    double u;               /* mm; NaN not stated */
    size_t line;
};

struct bt_job {
    char *folder; /* path; "" for a bare readings file */
    char *title, *client, *date;
    enum bt_system system; /* what to print in */
    enum bt_unit unit;     /* bare lengths; BT_UNIT_NONE where neither is known */
    double same_point;     /* mm */
    enum bt_unit gap_unit; /* of bare numbers in the first readings file with gaps that
                              was read; BT_UNIT_NONE where none was */
    struct bt_panel panel;
    struct bt_limits limits;
    size_t ninstrument;
    struct bt_instrument *instrument;
    size_t nfeeler;
    struct bt_feeler *feeler;
    size_t nboard;
    struct bt_board *board;
    char *board_file; /* as messages call it; "" where there is none */
    size_t njoint;
    double *joint; /* y of the glue joints, mm, ascending: as stated, else running
                      sums of the boards' widths; none where they miss the panel's
                      width by over 2 mm */
    struct bt_fence_setup fence;
    struct bt_glue_setup glue;
    size_t nclamp;
    struct bt_clamp *clamp;
    size_t ndry_fit; /* joints that dryfit.csv reads, ascending */
    struct bt_dry_fit *dry_fit;
    struct bt_work_plan plan;  /* [plan] */
    struct bt_climate climate; /* [climate] */
    struct bt_opening_setup opening;
    struct bt_layout_setup layout; /* [layout] and cutouts.csv */
    struct bt_fixing_setup fixing; /* [fixing] and fixings.csv */
    struct bt_stock_setup stock;   /* [stock] and stock.csv */
    size_t nthickness;
    struct bt_thickness_place *thickness; /* NULL where there is no such file */
    size_t nset;
    struct bt_set *set;
    size_t nset_named; /* sets that job.ini names; above nset where only one was read */
    size_t nnote;      /* notes that belong to no set */
    struct bt_note *note;
};

/* A reading to leave out: --without FILE:LINE.  In a paper grid a line is a whole
 * row of readings.  Faults in the line are told all the same. */
struct bt_without {
    const char *file; /* as the job names it, or the last part of its path */
    size_t line;
    bool found; /* out: a reading of a set that was read stands there */
};

struct bt_load_options {
    double length, width; /* NaN: from the files (`flatness FILE.csv` only) */
    const char *only_set; /* NULL: read all sets; else this one alone, and job->set
                             holds no other (unknown: a fault of "--set" that
                             names the nearest) */
    bool latest_only;     /* true: only the latest by date (bt_job_latest), and
                             job->set holds no other; not with only_set */
    bool blank_is_fault;  /* true: a set without a single reading is a fault
                             (`flatness`); false: a note (`check`) */
    bool look_closely; /* true (`check`): points of a scan at one place, and heights far
                          off the others (surface/far_off.h), become notes */
    size_t nwithout;
    struct bt_without *without;
    /* Called now and then while a long file is read; NULL: never.  file: as messages
     * call it; share: 0 to 1, how much of it is done. */
    void (*progress)(void *user, const char *file, double share);
    void *progress_user;
};

/*
 * How readings become observations, beyond what the design says:
 *
 * - Each file's readings of one line are one placement of the straightedge, even if
 *   other lines stand between; rows of one line that name two straightedges are two
 *   placements.  Feelers or a dial named by a row give its u, the edge stays the set's.
 * - A line with one place is a fault; one of whose places only one is read so far is
 *   left out with a note, and so is a set-up read at one place.
 * - Set-ups are told apart by file, name and instrument.  One whose points lie on one
 *   line has two unknowns (offset, tilt along the line): it can see no more.
 * - The first place typed is where a point is.  Places merge when strictly nearer than
 *   same_point, or than half the least step within a line, grid or reading of the set.
 *   Points of a scan stay apart from each other and from those of other readings.
 * - A set of x,y,z files and nothing else is kept as readings.scan, unless the readings
 *   of one file differ in their u (a column `u` or `instrument`).  Where whole files
 *   differ in it, scan_u is the root of the mean square.
 * - The set's instrument serves the files whose readings it can give; where it fits
 *   none of them that is a fault.  In a bare file names of instruments are not used.
 * - u from the digits: a reading typed as a fraction is good to its own denominator
 *   (an eyeballed 1/64 is that, whatever stands beside it), decimals share the finest
 *   decimal digit of the column, and a bare 0, a whole number or a named feeler takes
 *   that too, or where there is none the finest whole number or fraction.  Our choice.
 * - u of a slope typed in degrees is that of its angle, turned into that of its
 *   tangent.
 *
 * Read a job: a folder, the job.ini inside it, or, where a file is named that is
 * not job.ini, a bare readings file (its header gives kind and units; instrument
 * unknown; panel size from options, else NaN).
 *
 *   path     as typed
 *   options  what to read; NULL: everything, looked at closely, a blank set is a note
 *   job      out: to be freed with bt_job_clear, also after an error
 *   faults   every fault of every file is added
 *
 * Nothing may be computed from a job for which this does not return BT_OK.
 */
BT_API enum bt_status bt_job_load(const char *path,
                                  const struct bt_load_options *options,
                                  struct bt_job *job, struct bt_faults *faults);

/* Free everything and set to "not stated", texts NULL; NULL is accepted. */
BT_API void bt_job_clear(struct bt_job *job);

/* The set that `flatness` takes by default: the latest by date (undated counts as
 * oldest, ties go to the later section); nset where there is none. */
BT_API size_t bt_job_latest(const struct bt_job *job);

/* Where a reading comes from: an observation, or a point of a scan.  reading is below
 * readings.nobs, or readings.npoint of a scan. */
BT_API struct bt_source bt_set_source(const struct bt_set *set, size_t reading);

/* y in the panel's own frame (from its back edge, top face up) of a place that a set
 * read at y, and the reverse; NaN where the bottom face was read and the width is not
 * known. */
BT_API double bt_job_panel_y(const struct bt_job *job, const struct bt_set *set,
                             double y);

/* Everything freed and set to "not stated", texts NULL.  The struct is zeroed or holds
 * a job; one that was never set must be zeroed first (bt_job_load needs neither). */
BT_API void bt_job_init(struct bt_job *job);

#endif
