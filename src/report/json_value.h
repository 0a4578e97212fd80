/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_JSON_VALUE_H
#define BENCHTRUE_REPORT_JSON_VALUE_H

#include <stdbool.h>
#include <stddef.h>
#include <cjson/cJSON.h>

#include "benchtrue/surface/extremes.h"

/*
 * Members and elements for JSON documents.  Private to the room.  Each returns
 * false, or NULL, when there is no memory; nothing is then left hanging, and a
 * parent of NULL is passed on as a failure, so that calls can be chained.
 */
bool bt_json_add_number(cJSON *parent, const char *key, double value);
bool bt_json_add_count(cJSON *parent, const char *key, size_t value);
bool bt_json_add_text(cJSON *parent, const char *key, const char *text);
bool bt_json_add_measured(cJSON *parent, const char *key, const struct bt_measured *m);
/* A largest figure, with the keys of docs/json.md that say how sure it is; those of
 * another confidence than 95 % only where it is another. */
bool bt_json_add_largest(cJSON *parent, const char *key, const struct bt_measured *m,
                         const struct bt_sure *sure, double confidence);
bool bt_json_add_numbers(cJSON *parent, const char *key, size_t n,
                         const double value[]);

/* Replace whatever a locale writes between the digits of a number (`,`, or several
 * bytes) by one point, in place. */
void bt_json_put_point(char *text);

/* A new empty object at the end of an array. */
cJSON *bt_json_append_object(cJSON *array);

#endif
