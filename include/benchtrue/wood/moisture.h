/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_WOOD_MOISTURE_H
#define BENCHTRUE_WOOD_MOISTURE_H

#include "benchtrue/base/status.h"

/*
 * Equilibrium moisture of wood in air: what a board ends at.  The equation of Hailwood
 * and Horrobin as the Wood Handbook gives it (FPL-GTR-190, eq. 4-5; coefficients in
 * reference/emc_equation.csv, from memory, confirmed against all 344 cells of its Table
 * 4-2: within 0.06 point).  One curve for all woods, between wetting and drying; a
 * given species may be a point off, and more where extractives fill it (common
 * practice, no source).
 */

/* Where the equation is checked: temperature, C, of the table; humidity, percent, of
 * the table is 5 to 95, and the equation has its ends at 0 and is used to 100. */
#define BT_MOISTURE_COLDEST (-1.2)
#define BT_MOISTURE_HOTTEST 99.0

/*
 * Equilibrium moisture, percent of dry mass.
 *
 *   temperature  C, BT_MOISTURE_COLDEST to BT_MOISTURE_HOTTEST
 *   humidity     relative, percent, 0 to 100
 *   moisture     out; untouched on error
 *
 * BT_OK, BT_EINPUT (out of range, NaN): `the temperature must be -1.2 C to 99 C`,
 * `the humidity must be 0 % to 100 %`.
 */
BT_API enum bt_status bt_moisture_of_air(double temperature, double humidity,
                                         double *moisture, struct bt_error *err);

/*
 * The relative humidity, percent, in which wood of that moisture stays as it is: the
 * inverse of bt_moisture_of_air, to 1e-9 percent.
 *
 *   moisture  percent, 0 to what 100 % humidity gives at that temperature
 *
 * BT_OK, BT_EINPUT: as above, or `no air keeps wood at that moisture`.
 */
BT_API enum bt_status bt_humidity_of_wood(double temperature, double moisture,
                                          double *humidity, struct bt_error *err);

#endif
