/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_HEADER_H
#define BENCHTRUE_INGEST_HEADER_H

#include "benchtrue/surface/readings.h"
#include "ingest/columns.h"

/* The columns that readings files may have. */
enum bt_role {
    BT_ROLE_X,
    BT_ROLE_Y,
    BT_ROLE_HEIGHT,
    BT_ROLE_SETUP,
    BT_ROLE_LINE,
    BT_ROLE_AT,
    BT_ROLE_GAP,
    BT_ROLE_FOOT1_X,
    BT_ROLE_FOOT1_Y,
    BT_ROLE_DIAL_X,
    BT_ROLE_DIAL_Y,
    BT_ROLE_FOOT2_X,
    BT_ROLE_FOOT2_Y,
    BT_ROLE_RISE,
    BT_ROLE_X1,
    BT_ROLE_Y1,
    BT_ROLE_X2,
    BT_ROLE_Y2,
    BT_ROLE_SLOPE,
    BT_ROLE_STICK,
    BT_ROLE_WIND,
    BT_ROLE_Z,
    BT_ROLE_INSTRUMENT,
    BT_ROLE_U,
    BT_ROLES,
    BT_NO_ROLE = BT_ROLES
};

/* One header that the design names. */
struct bt_form {
    enum bt_reading_kind kind;
    const char *header;    /* as a message names it */
    enum bt_role value;    /* the column of the reading */
    enum bt_role place[8]; /* x and y of each place in turn; BT_NO_ROLE ends */
    enum bt_role needs[4]; /* other columns that must be there; BT_NO_ROLE ends */
};

const char *bt_role_name(enum bt_role role);

/* Does the column hold a position across the panel (y) rather than along it (x)? */
bool bt_role_is_y(enum bt_role role);

/* Is the record a second header? */
bool bt_header_again(const struct bt_record *record);

/*
 * Find the columns and the form of the header, record[0].
 *
 *   column  out: [BT_ROLES]
 *   form    out: which it is
 *
 * Faults: as bt_columns_find; no header at all; no or two columns with a reading;
 * columns that are missing, and columns that belong to another form.  Returns BT_OK or
 * BT_EINPUT.
 */
enum bt_status bt_header_read(const struct bt_sheet *sheet,
                              struct bt_column column[BT_ROLES],
                              const struct bt_form **form);

#endif
