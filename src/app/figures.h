/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_APP_FIGURES_H
#define BENCHTRUE_APP_FIGURES_H

#include "app/options.h"
#include "benchtrue/report/result.h"

/* Whether the names of the files asked for end in a format that can be drawn, and are
 * two; else EXIT_USAGE with a message. */
enum exit_code check_figures(const struct options *options);

/* Draw what was asked for and write it.  Returns EXIT_DONE, or the exit status of what
 * failed, with a message; nothing is then half written. */
enum exit_code write_figures(const struct options *options,
                             const struct bt_set_result *result);

#endif
