/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_GSL_ERRORS_H
#define BENCHTRUE_SURFACE_GSL_ERRORS_H

#include "benchtrue/export.h"

/*
 * Tell the GNU Scientific Library not to end the process on an error, which it does
 * unless told otherwise; benchtrue reads the status of each call instead.  The setting
 * belongs to the whole process, so that the library does not touch it by itself: a
 * program calls this once, before any other function and before it starts threads, or
 * sets a handler of its own that returns.
 */
BT_API void bt_gsl_errors_off(void);

#endif
