/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_APP_SAY_H
#define BENCHTRUE_APP_SAY_H

#include "app/options.h"
#include "benchtrue/ingest/faults.h"
#include "benchtrue/report/buffer.h"

/* Where the program speaks: results to stdout, messages to stderr. */

/* A message on stderr, after the program's name; returns code. */
enum exit_code say(enum exit_code code, const char *format, ...) BT_PRINTF(2, 3);

/* The message of a failed call; returns the exit status for it. */
enum exit_code say_error(enum bt_status status, const char *message);

/* All faults on stderr, the first 20 of each file and then a count; returns the exit
 * status for the first. */
enum exit_code say_faults(const struct bt_faults *faults);

/* Write a result to stdout; returns code, or EXIT_IOERR or EXIT_SOFTWARE with a
 * message where that fails. */
enum exit_code print_result(const struct bt_buffer *text, enum exit_code code);

/* Whether verdict words may be coloured: on a terminal only, and not where NO_COLOR
 * says no or TERM is dumb. */
bool say_in_colour(void);

/* The exit status for a library status. */
enum exit_code exit_for(enum bt_status status);

#endif
