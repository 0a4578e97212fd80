/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_TEXT_OPENING_H
#define BENCHTRUE_REPORT_TEXT_OPENING_H

#include "benchtrue/report/opening_result.h"

/* Words that the text and the JSON of `opening` share.  Private to the room. */

/* `side left`, `width at 300 mm`. */
void bt_say_opening_reading(struct bt_buffer *out,
                            const struct bt_opening_reading *reading,
                            enum bt_system system);

/* `6 mm long`, `0.3 deg short`. */
void bt_say_misfit(struct bt_buffer *out, const struct bt_opening_reading *reading,
                   const struct bt_quad_check *check, enum bt_system system);

/* What to measure: `diagonal AC, side right`. */
void bt_say_asks(struct bt_buffer *out, const struct bt_quad_result *quad);

/* The first line. */
void bt_text_opening_verdict(struct bt_buffer *out, const struct bt_opening_answer *a,
                             const struct bt_text_options *options);

/* The size of a length that is read on a rule or tape, to what its u carries; u 0: to a
 * tenth of a millimetre or 1/64 in. */
void bt_say_tape(struct bt_buffer *out, double mm, double u, enum bt_system system);

/* Its u with it: `6.2 mm (u 0.5)`. */
void bt_say_taped(struct bt_buffer *out, const struct bt_measured *m,
                  enum bt_system system);

/* Cut k of the list, with its angle and offset. */
void bt_say_cut(struct bt_buffer *out, const struct bt_piece *piece, int k,
                enum bt_system system);

/* The list of the cuts. */
void bt_text_opening_cuts(struct bt_buffer *out, const struct bt_opening_answer *a,
                          enum bt_system system);

/* `7 mm over 600 mm`. */
void bt_say_over(struct bt_buffer *out, double mm, double u, double over,
                 enum bt_system system);

#endif
