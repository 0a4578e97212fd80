/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_GATHER_H
#define BENCHTRUE_INGEST_GATHER_H

#include <stdbool.h>
#include <stddef.h>

#include "ingest/columns.h"
#include "ingest/load.h"
#include "ingest/names.h"
#include "ingest/scan.h"
#include "ingest/sure.h"

/*
 * The readings of a set as typed, gathered from its files, before places become
 * points: readings files and paper grids fill it, build.c makes observations of it.
 */

struct bt_typed {
    enum bt_reading_kind kind;
    enum bt_u_origin origin;
    int instrument;    /* index into job->instrument, -1 none */
    size_t file, line; /* file: index into set->file */
    size_t place;      /* first of its places; bt_places_of tells how many */
    size_t owner;      /* index of the placement (gap) or set-up (height) */
    double value, u;   /* inside units; u NaN until the file is read whole */
    double step;       /* size of the last digit typed, 0 where none was */
    enum bt_digits digits;
    bool metric, inch; /* a number other than 0 was typed in such a unit */
    bool touches;      /* gap: typed as 0 */
    bool below;        /* gap: from 0 to a leaf that did not go */
    double stick;      /* wind: mm */
};

/* One placement of a straightedge: what one file says of one line and one edge. */
struct bt_placement {
    char *name;
    size_t file, line; /* where it is first met */
    int edge;          /* index of a straightedge, -1 none declared */
    size_t named;      /* index of the line in lines.csv, SIZE_MAX where places are
                          given */
    struct bt_point from, to; /* its ends; from the places where those are given */
    double length;            /* mm */
    bool spread;              /* more than one place was typed, read or not */
    struct bt_point first;
};

/* One set-up of a dial. */
struct bt_setup {
    char *name; /* "" where the file has no setup column */
    size_t file, line;
    bool level; /* only its offset is unknown */
};

/* A blank that stands in set->blanks, with what tells later whether its line was begun.
 */
struct bt_gathered_blank {
    size_t owner;          /* as of bt_typed; SIZE_MAX none */
    struct bt_point place; /* NaN where it is not known */
};

struct bt_gather {
    struct bt_load *load;
    struct bt_set *set;
    const struct bt_set_plan *plan;
    struct bt_notes notes;
    size_t file;          /* index of the file being read */
    size_t file_start;    /* its first reading */
    size_t file_faults;   /* faults before it */
    size_t file_blank;    /* blank cells of the set before it */
    bool undeclared;      /* the file names instruments, and there is no job.ini */
    int instrument;       /* of the file's readings that name none, -1 none */
    size_t fits, misfits; /* files that the set's instrument fits, and does not */
    enum bt_reading_kind misfit; /* the last kind that it does not fit */
    struct bt_finest finest;     /* of the file's column of readings */
    size_t odd;                  /* fractions in it that no rule has */
    struct bt_names names; /* of the file's placements or set-ups; its table's texts */

    size_t ntyped, typed_room;
    struct bt_typed *typed;
    size_t nplace, place_room;
    struct bt_point *place;
    size_t nplacement, placement_room;
    struct bt_placement *placement;
    size_t nsetup, setup_room;
    struct bt_setup *setup;
    struct bt_gathered_blank *blank; /* [BT_BLANKS_KEPT], of set->blanks; NULL: none */

    struct bt_scan_points
        scan;   /* instead of readings, while every file so far is one */
    bool mixed; /* there were others, or such as differ in u */

    double least_step;           /* smallest step within a line or a reading, mm */
    size_t step_file, step_line; /* where that is */
};

size_t bt_places_of(enum bt_reading_kind kind);

/* Does an instrument of this kind give such readings? */
bool bt_instrument_fits(enum bt_instrument_kind instrument,
                        enum bt_reading_kind reading);

/* Of the file that is being read: take the set's instrument where it fits the
 * readings, else say that it is not used.  BT_OK or BT_ENOMEM. */
enum bt_status bt_gather_instrument(struct bt_gather *g, enum bt_reading_kind kind);

/* Print in the unit of the positions where nothing else tells what to print in. */
void bt_gather_system(struct bt_gather *g, enum bt_unit unit);

/* The straightedge of a gap read with this instrument: itself, or the file's where it
 * is none (feelers under the same edge); -1 where none is declared. */
int bt_gather_edge(const struct bt_gather *g, int instrument);

/* The u of a reading as far as its row tells: typed, interval or instrument; NaN and
 * BT_U_DIGIT where the file's finest digit must tell. */
void bt_gather_u(const struct bt_gather *g, struct bt_typed *typed, double u_typed,
                 double u_interval);

/* Is what stands on this line of the file to be left out (--without)? */
bool bt_gather_left_out(struct bt_gather *g, size_t line);

/*
 * Keep a reading, unless it is left out (--without), with its places.  The least
 * step takes in the distances between its places.  BT_OK or BT_ENOMEM.
 */
enum bt_status bt_gather_add(struct bt_gather *g, const struct bt_typed *typed,
                             const struct bt_point place[]);

/* How a value was typed. */
void bt_gather_typing(struct bt_typed *typed, const struct bt_gap *gap);

/* A note where the cell is a fraction of an inch that no rule has.  BT_OK or
 * BT_ENOMEM. */
enum bt_status bt_gather_note_odd(struct bt_gather *g, const struct bt_sheet *sheet,
                                  const struct bt_record *record, size_t index,
                                  int odd);

/* A reading that was not taken: it is counted, and kept in set->blanks while there is
 * room.  of: kind, line of the file and owner count; name: of its line, NULL where it
 * has none; at: where, and words: the same in words.  BT_OK or BT_ENOMEM. */
enum bt_status bt_gather_blank(struct bt_gather *g, const struct bt_typed *of,
                               const struct bt_cell *name, const struct bt_point *at,
                               const char *words);

/* A step between neighbouring places of a line, mm; 0 is none. */
void bt_gather_step(struct bt_gather *g, double step, size_t file, size_t line);

/*
 * The placement or set-up of that name in the file being read, made where it is
 * not there yet.  text must live until the file is read.  BT_OK or BT_ENOMEM.
 */
enum bt_status bt_gather_placement(struct bt_gather *g, const struct bt_cell *name,
                                   int edge, size_t line, size_t *out);
enum bt_status bt_gather_setup(struct bt_gather *g, const struct bt_cell *name,
                               int instrument, size_t line, size_t *out);

/* A place of a line was typed, whether or not it was read. */
void bt_placement_place(struct bt_placement *placement, const struct bt_point *place);

/* Were BT_FAULTS_PER_FILE faults told in this file?  Then one more says so. */
bool bt_gather_too_many(const struct bt_gather *g, const struct bt_sheet *sheet,
                        size_t line);

/* Read the file that the sheet holds, by its header. */
enum bt_status bt_rows_read(struct bt_gather *g, struct bt_sheet *sheet);
bool bt_grid_is(const struct bt_table *table);
enum bt_status bt_grid_read(struct bt_gather *g, struct bt_sheet *sheet);

/* After the last row of a file: notes on units that change within its readings, and on
 * how many fractions no rule has. */
enum bt_status bt_gather_note_typing(struct bt_gather *g, const struct bt_sheet *sheet);

/* After the last row of a file: the u that its digits tell. */
enum bt_status bt_gather_file_done(struct bt_gather *g, const struct bt_sheet *sheet);

/* After the last file: a fault where the instrument fits no file of the set. */
void bt_gather_check_instrument(struct bt_gather *g);

/* After the last file: points and observations of the set. */
enum bt_status bt_gather_build(struct bt_gather *g);

void bt_gather_clear(struct bt_gather *g);

#endif
