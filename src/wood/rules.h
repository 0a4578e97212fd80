/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SRC_WOOD_RULES_H
#define BENCHTRUE_SRC_WOOD_RULES_H

/* Coefficients a0, a1, a2 of W, K, K1, K2 of the equilibrium moisture, temperature in
 * degrees Celsius: reference/emc_equation.csv. */
typedef const double bt_emc_row[3];
const bt_emc_row *bt_emc_coefficients(void);

#endif
