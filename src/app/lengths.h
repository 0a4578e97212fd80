/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_APP_LENGTHS_H
#define BENCHTRUE_APP_LENGTHS_H

#include "app/options.h"

/*
 * Read the length that an option gave.
 *
 *   name     of the option, for the message
 *   text     as typed; NULL gives NaN
 *   options  --units is what a bare number is in
 *   mm       out
 *   inches   out, may be NULL: set to true where it was typed in inches, feet or
 *            thou, else left alone
 *
 * Returns EXIT_DONE, or EXIT_USAGE with a message.
 */
enum exit_code read_length(const char *name, const char *text,
                           const struct options *options, double *mm, bool *inches);

#endif
