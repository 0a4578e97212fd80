/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_LOAD_H
#define BENCHTRUE_INGEST_LOAD_H

#include <limits.h>

#include "benchtrue/ingest/csv.h"
#include "benchtrue/ingest/file.h"
#include "benchtrue/ingest/ini.h"
#include "benchtrue/ingest/job.h"
#include "ingest/columns.h"
#include "ingest/names.h"
#include "ingest/say.h"

/*
 * What reading a job carries from step to step.
 *
 * The steps return BT_OK to go on, also after faults in the data, which are in
 * `faults`, and BT_ENOMEM to give up.  What reads one cell or value returns
 * BT_EINPUT where it told a fault.
 */

#ifdef PATH_MAX
enum { BT_PATH_ROOM = PATH_MAX };
#else
enum { BT_PATH_ROOM = 4096 };
#endif

/* How far beyond the panel's edges a place may lie, mm: a rule hooked over an edge
 * that is not quite straight. */
#define BT_EDGE_SLACK 2.0

/* A named straightedge line of lines.csv. */
struct bt_named_line {
    char *name;
    size_t line;
    struct bt_point from, to; /* mm */
    double length;            /* mm, > 0 */
    bool used;
};

struct bt_named_lines {
    bool tried;  /* reading lines.csv was tried */
    bool there;  /* there is such a file */
    bool usable; /* its header is; else a fault was told */
    size_t n, room;
    struct bt_named_line *item;
    struct bt_names names;
};

/* Where something is said; line and column 0 where it has none. */
struct bt_spot_in_file {
    const char *file;
    size_t line, column;
};

/* What a section [readings NAME] says beyond what struct bt_set keeps. */
struct bt_set_plan {
    int instrument;                              /* -1: none */
    const struct bt_ini_entry *instrument_entry; /* NULL: none */
    const struct bt_ini_entry *files_entry;      /* NULL: none */
};

struct bt_load {
    char folder[BT_PATH_ROOM]; /* where the files are; "" is the current one */
    const char *bare;          /* path of a readings file without a job; NULL: a job */
    const struct bt_load_options *options;
    struct bt_job *job;
    struct bt_faults *faults;
    size_t faults_before;  /* that were in it when loading began */
    struct bt_notes notes; /* of the job */
    struct bt_named_lines lines;
    bool system_known;  /* job->system was stated or found */
    enum bt_face face;  /* of sets that state none */
    const char *boards; /* as [boards] names it; NULL where it does not */
    struct bt_spot_in_file boards_by;
    bool
        panel_bad; /* a fault was told in [panel]: its size may not be known for that */
    bool boards_bad; /* a fault was told in them: which joints there are is not known */
    size_t instrument_room, set_room, plan_room, clamp_room;
    struct bt_set_plan *plan; /* one for each of job->set */
};

/* ---- inside.c: files of the job's folder ---- */

/* folder/name, or name alone where the folder is "".  BT_OK, or BT_EINPUT with a
 * fault (too long). */
enum bt_status bt_inside_path(struct bt_load *load, const char *name,
                              char out[BT_PATH_ROOM]);

/* Is there such a file or folder inside the folder? */
bool bt_inside_exists(struct bt_load *load, const char *name);

/*
 * Is name a path that stays inside the folder?  Absolute paths, `..` and symbolic
 * links that lead out are refused with a fault at the place that names it.  A file
 * that does not exist passes: reading it tells.
 */
enum bt_status bt_inside_check(struct bt_load *load, const char *name,
                               const struct bt_spot_in_file *by);

/* Read a table of the folder that need not be there.  *usable: it is there and its CSV
 * has no fault; *table is to be cleared either way.  BT_OK or BT_ENOMEM. */
enum bt_status bt_inside_table(struct bt_load *load, const char *name,
                               struct bt_table *table, bool *usable);

/* ---- lines.c, boards.c, jobfile.c: the files that are no readings ---- */

/* Read lines.csv, once; without such a file nothing happens. */
enum bt_status bt_lines_read(struct bt_load *load);

/* A note on each line that no readings file uses. */
enum bt_status bt_lines_unused(struct bt_load *load);

void bt_lines_clear(struct bt_named_lines *lines);

/* The boards, and the joints that follow from them where none are stated.
 * `named`: by job.ini, where it does (then `by` is the place), else boards.csv, if
 * there is one. */
enum bt_status bt_boards_read(struct bt_load *load, const char *name,
                              const struct bt_spot_in_file *by);

/* Take over job.ini: all of the job but what other files say, and a set and a plan
 * for each of its readings sections.  The plans point into ini. */
enum bt_status bt_jobfile_read(struct bt_load *load, const struct bt_ini *ini);

/* Sections of job.ini, in files of their own. */
enum bt_status bt_instrument_read(struct bt_load *load,
                                  const struct bt_ini_section *section);
enum bt_status bt_set_section_read(struct bt_load *load,
                                   const struct bt_ini_section *section);

enum bt_status bt_fence_section_read(struct bt_load *load,
                                     const struct bt_ini_section *section);
enum bt_status bt_glue_section_read(struct bt_load *load,
                                    const struct bt_ini_section *section);
enum bt_status bt_clamp_section_read(struct bt_load *load,
                                     const struct bt_ini_section *section);
enum bt_status bt_climate_section_read(struct bt_load *load,
                                       const struct bt_ini_section *section);
enum bt_status bt_fixing_section_read(struct bt_load *load,
                                      const struct bt_ini_section *section);
enum bt_status bt_layout_section_read(struct bt_load *load,
                                      const struct bt_ini_section *section);
enum bt_status bt_stock_section_read(struct bt_load *load,
                                     const struct bt_ini_section *section);
enum bt_status bt_plan_section_read(struct bt_load *load,
                                    const struct bt_ini_section *section);

/* ---- fence.c, dryfit.c: checks before glue-up ---- */

/* Read fence.csv, if there is one; after job.ini. */
enum bt_status bt_fence_read(struct bt_load *load);

/* Read cutouts.csv, if there is one; after job.ini. */
enum bt_status bt_cutouts_read(struct bt_load *load);

/* Read fixings.csv, if there is one. */
enum bt_status bt_fixings_read(struct bt_load *load);

/* Read stock.csv, if there is one; after job.ini. */
enum bt_status bt_stock_read(struct bt_load *load);

/* Read thickness.csv, if there is one. */
enum bt_status bt_thickness_read(struct bt_load *load);

/* Read dryfit.csv, if there is one; after the boards. */
enum bt_status bt_dry_fit_read(struct bt_load *load);

/* The same from a table in memory. */
enum bt_status bt_fence_take(struct bt_load *load, const struct bt_table *table);
enum bt_status bt_dry_fit_take(struct bt_load *load, const struct bt_table *table);

/* ---- opening_section.c, opening.c: the space that the piece goes into ---- */

enum bt_status bt_opening_section_read(struct bt_load *load,
                                       const struct bt_ini_section *section);

/* Read opening.csv, if there is one; after job.ini. */
enum bt_status bt_opening_read(struct bt_load *load);

/* The same from a table in memory. */
enum bt_status bt_opening_take(struct bt_load *load, const struct bt_table *table);

/* ---- set.c ---- */

/* Read the files of a set and make observations of them. */
enum bt_status bt_set_read(struct bt_load *load, struct bt_set *set,
                           const struct bt_set_plan *plan);

/* A set of that name with nothing else stated; BT_OK or BT_ENOMEM. */
enum bt_status bt_set_start(struct bt_set *set, const char *name, size_t length);

void bt_set_clear(struct bt_set *set);

/* Index of an instrument of job.ini, -1 where the name is unknown. */
int bt_instrument_find(const struct bt_job *job, const char *name, size_t length);

/*
 * The instrument that a cell names, of one of these kinds (bit 1 << kind); *out is -1
 * where the cell is empty.  BT_OK, or BT_EINPUT with a fault.
 */
enum bt_status bt_cell_instrument(const struct bt_load *load,
                                  const struct bt_sheet *sheet,
                                  const struct bt_record *record,
                                  const struct bt_column *column, unsigned kinds,
                                  int *out);

/* As bt_say_known, for the instruments of the job. */
const char *bt_say_instruments(char out[BT_KNOWN_ROOM], const struct bt_job *job,
                               const char *word, size_t length);

/* NULL where a place lies on the panel, or beyond its edge by no more than
 * BT_EDGE_SLACK, or the size is not known; else what is wrong, in out. */
const char *bt_say_outside(char out[BT_KNOWN_ROOM], const struct bt_job *job, double mm,
                           bool across);

#endif
