/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_DAY_H
#define BENCHTRUE_BASE_DAY_H

#include <stdbool.h>

#include "benchtrue/export.h"

/* Days of the Gregorian calendar (ISO 8601: also before 1582). */

enum { BT_DATE_ROOM = 11 };

/*
 * The number of a day, 0 for 1970-01-01.
 *
 *   date  YYYY-MM-DD, ended by NUL, a day that there is
 *   day   out; untouched where false is returned
 */
BT_API bool bt_day_of_date(const char *date, long *day);

/* The day of that number as YYYY-MM-DD; "" outside the years 0000 to 9999.  Returns
 * out. */
BT_API const char *bt_date_of_day(char out[BT_DATE_ROOM], long day);

#endif
