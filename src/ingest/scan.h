/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_SCAN_H
#define BENCHTRUE_INGEST_SCAN_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/ingest/job.h"

/*
 * A scan while its files are read: 24 bytes a point instead of the several hundred
 * that a reading of any kind takes on its way.  It stays one as long as every file of
 * the set holds x,y,z and the readings of each file share one u; else its points
 * become readings like all others.
 */

struct bt_gather;
struct bt_sheet;

/* What one file gave. */
struct bt_scan_part {
    size_t n; /* points */
    double u; /* mm, of each of them */
    enum bt_u_origin origin;
};

struct bt_scan_points {
    size_t n;
    size_t point_room, height_room;
    struct bt_point *point; /* [n] mm */
    double *height;         /* [n] mm */
    size_t nrun, run_room;
    struct bt_scan_run *run; /* where the points stand, see struct bt_set */
    size_t next_line;        /* of a point that the last run would take in */
    size_t npart, part_room;
    struct bt_scan_part *part;
};

/* Make room for that many points in all.  BT_OK or BT_ENOMEM. */
enum bt_status bt_scan_room(struct bt_scan_points *scan, size_t need);

/* Add a point that stands on a line of a file.  BT_OK or BT_ENOMEM. */
enum bt_status bt_scan_add(struct bt_scan_points *scan, const struct bt_point *place,
                           double height, size_t file, size_t line);

/* All points since `from` are one file's.  Nothing is added where there are none.
 * BT_OK or BT_ENOMEM. */
enum bt_status bt_scan_part_done(struct bt_scan_points *scan, size_t from, double u,
                                 enum bt_u_origin origin);

/*
 * Read a file without keeping its text or a table of it: x,y,z with units, each row
 * three bare decimals.
 *
 *   path   what to open
 *   sheet  its name and the unit of bare lengths; its table is not looked at
 *   done   out: false where the file is anything but that plain, or cannot be read,
 *          and nothing of it was kept and nothing told: the general reader then
 *          reads it and finds what is to be said
 *
 * Returns BT_OK or BT_ENOMEM.
 */
enum bt_status bt_scan_read(struct bt_gather *g, const char *path,
                            const struct bt_sheet *sheet, bool *done);

/* After a file that the general reader read: its readings become points of the scan
 * where they can, or the scan's points become readings.  BT_OK or BT_ENOMEM. */
enum bt_status bt_scan_settle(struct bt_gather *g);

/* After the last file: hand the points over to the set. */
void bt_scan_finish(struct bt_gather *g);

/* Notes on points at one place and on heights far off; only of a set that holds a
 * scan.  BT_OK or BT_ENOMEM. */
enum bt_status bt_scan_notes(struct bt_gather *g);

void bt_scan_clear(struct bt_scan_points *scan);

#endif
