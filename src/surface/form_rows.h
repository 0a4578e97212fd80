/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_SURFACE_FORM_ROWS_H
#define BT_SURFACE_FORM_ROWS_H

#include "benchtrue/surface/correction.h"
#include "benchtrue/surface/form.h"

/*
 * Coefficients of cup, bow or twist, the figures of bt_form_fit.
 *
 *   bt_form_row         over the heights: c[net->npoint]
 *   bt_form_direct_row  twist fitted to the readings: gain[readings->nobs], figure per
 *                       unit of the reading
 *
 * All 0 where the places, or the readings, do not determine it.  BT_OK, BT_ENOMEM or
 * what bt_network_adjust says of readings.
 */
enum bt_status bt_form_row(const struct bt_network *net,
                           const struct bt_rectangle *rectangle,
                           enum bt_doubt_of figure, double c[]);
enum bt_status bt_form_direct_row(const struct bt_readings *readings,
                                  const struct bt_rectangle *rectangle, double gain[]);

#endif
