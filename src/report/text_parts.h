/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_TEXT_PARTS_H
#define BENCHTRUE_REPORT_TEXT_PARTS_H

#include "benchtrue/report/text.h"

/*
 * Parts of the text report; private to the room.  Each adds to out.
 */

/* The verdict in words and the next action, one line. */
void bt_text_verdict(struct bt_buffer *out, const struct bt_set_result *r,
                     const struct bt_text_options *options);

/* What to do about each thing that is over, not seen, too close or suspect. */
void bt_text_advice(struct bt_buffer *out, const struct bt_set_result *r,
                    const struct bt_text_options *options);

/* A line on straightedge lines that are longer than their edge, where there are any. */
void bt_text_too_long(struct bt_buffer *out, const struct bt_set *set);

/* A line on heights of a scan that stand far from all others, where there are any. */
void bt_text_far_off(struct bt_buffer *out, const struct bt_set_result *r);

/* What to do about a figure; parts of a sentence. */
void bt_text_take_down(struct bt_buffer *out, const struct bt_set_result *r,
                       const struct bt_judgement *j, enum bt_system system);
void bt_text_read_finer(struct bt_buffer *out, const struct bt_set_result *r,
                        enum bt_figure figure, enum bt_system system);
void bt_text_read_for(struct bt_buffer *out, const struct bt_set_result *r,
                      enum bt_figure figure, enum bt_system system);

/* The unseen shape that hides a figure, NULL where none is named for it. */
const struct bt_unseen *bt_text_hiding(const struct bt_set_result *r,
                                       enum bt_figure figure);

/* Columns of the table of figures. */
enum {
    BT_COLUMN_VALUE = 10,
    BT_COLUMN_U = 40,
    BT_COLUMN_LIMIT = 49,
    BT_COLUMN_VERDICT = 60
};

/* Limit and verdict of a figure, nothing where it has no limit. */
void bt_text_judged(struct bt_buffer *out, const struct bt_set_result *r,
                    enum bt_figure figure, const struct bt_text_options *options);

/* A row under a largest figure: the two values between which it lies at the confidence
 * that the job asks for; nothing where it is not seen, or sure is NULL. */
void bt_text_sure(struct bt_buffer *out, const struct bt_sure *sure,
                  enum bt_system system);

/* The rows of the straightedge figures. */
void bt_text_edges(struct bt_buffer *out, const struct bt_set_result *r,
                   const struct bt_text_options *options);

/* What the joints have to do with the cup: a sentence, with details a row a joint. */
void bt_text_joints(struct bt_buffer *out, const struct bt_set_result *r,
                    const struct bt_text_options *options);

/* What to do about it where the cup is over its limit. */
void bt_text_joints_advice(struct bt_buffer *out, const struct bt_set_result *r);

/* What was taken off the readings, and what that changed; a line a correction.  And a
 * line where it is not known how it lay and the verdict hangs on something else. */
void bt_text_taken_off(struct bt_buffer *out, const struct bt_set_result *r,
                       enum bt_system system);

/* Part of the verdict: that nothing is known of the own weight, where that could turn
 * the verdict. */
void bt_text_own_weight(struct bt_buffer *out, const struct bt_set_result *r,
                        enum bt_system system);

/* Where the doubt of what is too close to call comes from, with details of every
 * verdict, and what would halve it. */
void bt_text_doubts(struct bt_buffer *out, const struct bt_set_result *r,
                    const struct bt_text_options *options);

/* What the figures would be without the suspects. */
void bt_text_without(struct bt_buffer *out, const struct bt_set_result *r,
                     enum bt_system system);

/* The contacts of the zone, for --details. */
void bt_text_contacts(struct bt_buffer *out, const struct bt_set_result *r,
                      enum bt_system system);

/* A word in the colour of a verdict, where colour is asked for. */
void bt_text_paint(struct bt_buffer *out, const struct bt_text_options *options,
                   enum bt_verdict verdict, const char *word);

/* The notes of the job that matter to an answer, under a heading; nothing without. */
void bt_text_notes(struct bt_buffer *out, const struct bt_job *job);

/* What was read: `96 gaps at 45 places, 2 cells blank`. */
void bt_text_readings(struct bt_buffer *out, const struct bt_set *set);

/* Where the uncertainty of the readings comes from. */
void bt_text_origins(struct bt_buffer *out, const struct bt_set *set);
void bt_text_u_origins(struct bt_buffer *out, const size_t count[BT_U_ORIGINS]);

#endif
