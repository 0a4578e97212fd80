/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_APP_USES_H
#define BENCHTRUE_APP_USES_H

#include "app/options.h"
#include "benchtrue/judge/limits.h"

/*
 * The band that --use names.  Returns EXIT_DONE, EXIT_USAGE with a message that lists
 * the uses, or EXIT_SOFTWARE.
 */
enum exit_code find_use(const char *use, const struct bt_band **band);

#endif
