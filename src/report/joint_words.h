/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_JOINT_WORDS_H
#define BENCHTRUE_REPORT_JOINT_WORDS_H

#include "benchtrue/base/print.h"
#include "benchtrue/joint/clamping.h"
#include "benchtrue/report/buffer.h"
#include "benchtrue/report/edges_result.h"

/*
 * Numbers and names that the texts of fence, edges and glueup share.  Private to the
 * room.  Each adds to out.
 */

/* A length read with a feeler, `0.12 mm`; u 0: exact. */
void bt_say_length(struct bt_buffer *out, double mm, double u, enum bt_system system);

/* Its size and uncertainty: `0.12 mm (u 0.03)`; `not seen`. */
void bt_say_measured(struct bt_buffer *out, const struct bt_measured *m,
                     enum bt_system system);

/* A length on a rule, as stated: `1500 mm`. */
void bt_say_rule(struct bt_buffer *out, double mm, enum bt_system system);

/* Uncertainty of a length that is read on a rule, with its unit: rounded up, so that no
 * doubt is hidden, to 1/64 in where it is more than that; else, and in mm, as
 * bt_print_u_bare. */
void bt_say_rule_u(struct bt_buffer *out, double u, enum bt_system system);

/* The size of an angle: `0.15 deg`. */
void bt_say_angle(struct bt_buffer *out, double rad, double u);

/* The uncertainty of an angle, in degrees, bare, one digit (two where the first is 1),
 * never finer than 0.001. */
void bt_say_angle_u(struct bt_buffer *out, double u);

/* A cup: `1.65 mm hollow`, `flat` for one that rounds to nothing. */
void bt_say_cup(struct bt_buffer *out, double mm, double u, enum bt_system system);

/* To about two digits: `470 N`, `46 kN`, `106 lbf`; `not known`. */
void bt_say_force(struct bt_buffer *out, double newton, enum bt_system system);

/* `1.2 MPa`, `170 psi`. */
void bt_say_pressure(struct bt_buffer *out, double mpa, enum bt_system system);

/* `8 min`, `2 h`, `3 d`: in the largest of these that is reached, to a tenth. */
void bt_say_minutes(struct bt_buffer *out, double minutes);

/* `18 C`, `64 F`. */
void bt_say_temperature(struct bt_buffer *out, double celsius, enum bt_system system);

/* `show face`, `other face`. */
const char *bt_face_words(bool show);

/* The name of a board as the maker writes it. */
void bt_say_board(struct bt_buffer *out, const struct bt_job *job, size_t board);

/* The mark of an edge: `2 back: in`. */
void bt_say_mark(struct bt_buffer *out, const struct bt_job *job, size_t board,
                 bool front, enum bt_run run);

/* True where the left end goes first through the machine: whoever stands at it facing
 * the fence has the working edge down and the marked face to the fence or to himself.
 */
bool bt_left_end_leads(bool front, enum bt_run run, enum bt_feed feed);

/* `joint 3 (boards 3 and 4)`. */
void bt_say_joint(struct bt_buffer *out, const struct bt_job *job, size_t joint);

/* What the errors of the edges beside e are, and whether they were taken: two lines. */
void bt_say_scatter(struct bt_buffer *out, const struct bt_edge_setup *setup,
                    enum bt_system system);

/* The same after a line on e. */
void bt_say_taken(struct bt_buffer *out, const struct bt_edge_setup *setup,
                  enum bt_system system);

/* `under`, `within` or `over`: a pressure and the band of the handbook. */
const char *bt_band_word(const struct bt_clamping *plan, double pressure);

/* By how much an angle gauge that was read both ways round is off by itself, rad, and
 * twice the u of that from what is stated of it; false for any other check. */
bool bt_gauge_zero(const struct bt_fence_check *check, double *zero, double *most);

#endif
