/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_JSON_H
#define BENCHTRUE_REPORT_JSON_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/report/buffer.h"
#include "benchtrue/report/result.h"

/*
 * Results for programs: one JSON object (RFC 8259, UTF-8) and a line break.  Keys
 * are in snake_case with the unit as suffix; docs/json.md lists them.  Numbers are
 * not rounded: the least of 15 to 17 digits that read back as the same double, trailing
 * zeros dropped, with a point whatever the locale.  What is not known (NaN) is null.
 * Bytes of a name that are not UTF-8 become U+FFFD.
 *
 * Built with cJSON, whose memory hooks are global: a program that wants them to go
 * through bt_mem_resize calls cJSON_InitHooks itself, once.
 */

/*
 *   n, result[]  the sets; n >= 1
 *   all          true: {"sets":[...]}, also for one set; false: result[0] alone
 *   out          the text is added to it
 *
 * Returns BT_OK, BT_ECALL (n is 0) or BT_ENOMEM; on error out holds nothing of it.
 */
BT_API enum bt_status bt_json_flatness(size_t n, const struct bt_set_result result[],
                                       bool all, struct bt_buffer *out);

enum { BT_JSON_NUMBER_ROOM = 40 };

/* The text of one number; `null` for NaN and infinities.  Returns out. */
BT_API const char *bt_json_number(char out[BT_JSON_NUMBER_ROOM], double value);

#endif
