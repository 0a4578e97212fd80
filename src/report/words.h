/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_WORDS_H
#define BENCHTRUE_REPORT_WORDS_H

#include "benchtrue/base/print.h"
#include "benchtrue/report/buffer.h"
#include "benchtrue/report/result.h"

/*
 * The words that text and JSON share.  Private to the room.
 */

/* `crowned`, `hollow`, `A and C high`, `B and D high`, or `flat` for 0; "" for range,
 * zone and local, which have no sign. */
const char *bt_words_shape(enum bt_figure figure, double value);

/* `across the width`, `along the length`, `corner to corner`, `lowest to highest`. */
const char *bt_words_where(enum bt_figure figure);

/* Names a shape that the readings do not see: `twist`, `a hinge along y = 300 mm`. */
void bt_words_unseen(struct bt_buffer *out, const struct bt_unseen *unseen,
                     const struct bt_flatness *f, enum bt_system system);

/* What to read so that it would be seen: `a line from A to C with ...`. */
void bt_words_read_this(struct bt_buffer *out, const struct bt_unseen *unseen,
                        const struct bt_flatness *f, enum bt_system system);

/* What to read for a limited figure that no named shape explains; not for `local`. */
const char *bt_words_read_for(enum bt_figure figure);

/* Whether every place has its height, and cup, bow and twist are seen: a face of which
 * parts are not known cannot be planed by numbers. */
bool bt_words_face_known(const struct bt_flatness *f);

/* What to read so that it is; "" where it is. */
void bt_words_read_face(struct bt_buffer *out, const struct bt_flatness *f,
                        enum bt_system system);

/* A length that is read on a rule: `300 mm`, `11 13/16 in`. */
void bt_words_rule(struct bt_buffer *out, double mm, enum bt_system system);

/* Which way a straightedge lies: `along`, `across`, `on diagonal AC`, `oblique at 30
 * deg`; the angle, in rad, counts only there. */
void bt_words_way(struct bt_buffer *out, enum bt_edge_direction direction,
                  double angle);

/* A place on the panel: `x 300 mm, y 150 mm`. */
void bt_words_place(struct bt_buffer *out, const struct bt_point *p,
                    enum bt_system system);

/* A figure as people say it: `hollow 1.9 mm across the width (cup)`,
 * `twist 0.8 mm (A and C high)`, `range 2.4 mm, lowest to highest`, `gap 0.3 mm under
 * 300 mm, across (local)`. */
void bt_words_figure(struct bt_buffer *out, const struct bt_set_result *r,
                     enum bt_figure figure, enum bt_system system);

/* How many there are: `1 line`, `2 lines`. */
void bt_words_count(struct bt_buffer *out, size_t n, const char *one, const char *many);

/* A confidence as it is stated, 0 to 1: `95 %`, `99.9 %`; rounded to 0.0001 %,
 * never `100 %`. */
void bt_words_confidence(struct bt_buffer *out, double share);

#endif
