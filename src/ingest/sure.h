/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_SURE_H
#define BENCHTRUE_INGEST_SURE_H

#include <stddef.h>

#include "ingest/say.h"

/* How sure a reading is: what its row tells, else the digits of its column. */

/* The finest last digits typed in a column of readings, mm or rad; INFINITY where there
 * is none. */
struct bt_finest {
    double point, whole, zero, fraction;
};

struct bt_finest bt_finest_none(void);

/* A reading of the column: how its digits were typed, the size of its last one, and
 * whether it is a bare 0, which says of no digit that it was read. */
void bt_finest_note(struct bt_finest *finest, enum bt_digits digits, double step,
                    bool zero);

/* What the digits of such a reading are good to, once the column is read whole: a
 * fraction has its own step, decimals share the finest, and what shows no digit has
 * that of the others.  INFINITY where none shows any. */
double bt_finest_step(const struct bt_finest *finest, enum bt_digits digits,
                      double step);

/*
 * The u of a reading as far as its row tells: the first of those that are > 0, else
 * NaN and BT_U_DIGIT.
 *
 *   typed       in a column u
 *   interval    of a pair of feelers
 *   instrument  its u
 *   resolution  its resolution, counted over sqrt(12)
 */
double bt_sure_u(double typed, double interval, double instrument, double resolution,
                 enum bt_u_origin *origin);

/* That nothing tells the u of a reading: names of feelers alone. */
enum bt_status bt_sure_nothing(struct bt_faults *faults, const char *file, size_t line);

/* A note on how many readings of a file have their u from where; none where there are
 * none.  BT_OK or BT_ENOMEM. */
enum bt_status bt_sure_note(struct bt_notes *notes, const char *file,
                            const size_t origin[BT_U_ORIGINS]);

/* A note where a cell is a fraction of an inch that no rule has (odd: its denominator,
 * 0 none).  BT_OK or BT_ENOMEM. */
enum bt_status bt_sure_note_odd(struct bt_notes *notes, const char *file, size_t line,
                                const char *text, size_t length, int odd);

#endif
