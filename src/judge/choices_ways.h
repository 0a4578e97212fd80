/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_JUDGE_CHOICES_WAYS_H
#define BT_JUDGE_CHOICES_WAYS_H

#include "benchtrue/judge/choices.h"

/*
 * Each choice, filled from what was asked and found; private to choices.  out->plan,
 * out->spots and out->pair are there; choice->kind is set.
 */
typedef enum bt_status bt_choice_way(const struct bt_choices_request *request,
                                     const struct bt_choices *out,
                                     struct bt_choice *choice, struct bt_error *err);

bt_choice_way bt_choice_leave;
bt_choice_way bt_choice_wait;
bt_choice_way bt_choice_pull;
bt_choice_way bt_choice_high_spots;
bt_choice_way bt_choice_flatten;
bt_choice_way bt_choice_elsewhere;
bt_choice_way bt_choice_reglue;

/* What cup, bow and twist the choice leaves; of a pull those that it filled stay. */
enum bt_status bt_choice_form_left(const struct bt_choices_request *request,
                                   const struct bt_choices *out,
                                   struct bt_choice *choice, struct bt_error *err);

/* Whether a limited figure is not `within`. */
bool bt_choice_wrong(const struct bt_choices_request *request, enum bt_figure figure);

/* Whether each limit that is stated holds; false where none is. */
bool bt_choice_holds(const struct bt_choices_request *request);

#endif
