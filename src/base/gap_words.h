/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_GAP_WORDS_H
#define BENCHTRUE_BASE_GAP_WORDS_H

#include "benchtrue/base/feeler.h"

/* What a message about a misspelt gap offers. */

enum { BT_MEANT_ROOM = 200 };

/* A gap that could not be read, and what it was read with. */
struct bt_gap_text {
    const char *text; /* blanks around it taken off */
    size_t length;
    enum bt_unit unit; /* of bare numbers */
    bool comma;
    size_t nfeeler;
    const struct bt_feeler *feeler;
};

/* The forms of a gap with numbers that the unit suggests. */
const char *bt_gap_forms(enum bt_unit unit);

/* Is it plain what was meant?  Then out is that, as it should be typed. */
bool bt_gap_meant(const struct bt_gap_text *text, char out[BT_MEANT_ROOM]);

/* Is a gap over BT_GAP_MOST most likely one in thou in a column of inches, or one in
 * hundredths in a column of mm?  Then out is what to say: "did you mean ...?" */
bool bt_gap_in_thou(const char *text, size_t length, enum bt_unit unit,
                    char out[BT_MEANT_ROOM]);

#endif
