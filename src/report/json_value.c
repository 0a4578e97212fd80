/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/json_value.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/report/json.h"

void bt_json_put_point(char *text)
{
    char *to = text;
    bool in_point = false;

    for (const char *from = text; *from; from++) {
        bool plain = strchr("0123456789+-eE", *from) != NULL;

        if (plain)
            *to++ = *from;
        else if (!in_point)
            *to++ = '.';
        in_point = !plain;
    }
    *to = '\0';
}

const char *bt_json_number(char out[BT_JSON_NUMBER_ROOM], double value)
{
    if (!isfinite(value)) {
        memcpy(out, "null", 5);
        return out;
    }
    /* 17 digits always read back; strtod and snprintf follow the same locale.  cJSON's
     * own printing is not used: it keeps 15 digits where they come within one unit of
     * the last place. */
    for (int digits = 15; digits <= 17; digits++) {
        snprintf(out, BT_JSON_NUMBER_ROOM, "%.*g", digits, value);
        if (strtod(out, NULL) == value)
            break;
    }
    bt_json_put_point(out);
    return out;
}

bool bt_json_add_number(cJSON *parent, const char *key, double value)
{
    char text[BT_JSON_NUMBER_ROOM];

    return parent && cJSON_AddRawToObject(parent, key, bt_json_number(text, value));
}

bool bt_json_add_count(cJSON *parent, const char *key, size_t value)
{
    char text[BT_JSON_NUMBER_ROOM];

    snprintf(text, sizeof text, "%zu", value);
    return parent && cJSON_AddRawToObject(parent, key, text);
}

/* Bytes of the UTF-8 character at text, 0 where there is none (Unicode 15.0, table
 * 3-7: no overlong forms, no surrogates, nothing above U+10FFFF). */
static size_t utf8_length(const unsigned char *text)
{
    unsigned char low = 0x80, high = 0xbf;
    size_t n;

    if (text[0] < 0x80)
        return 1;
    if (text[0] < 0xc2 || text[0] > 0xf4)
        return 0;
    n = text[0] < 0xe0 ? 2 : text[0] < 0xf0 ? 3 : 4;
    if (text[0] == 0xe0)
        low = 0xa0;
    if (text[0] == 0xed)
        high = 0x9f;
    if (text[0] == 0xf0)
        low = 0x90;
    if (text[0] == 0xf4)
        high = 0x8f;
    for (size_t i = 1; i < n; i++, low = 0x80, high = 0xbf)
        if (text[i] < low || text[i] > high)
            return 0;
    return n;
}

bool bt_json_add_text(cJSON *parent, const char *key, const char *text)
{
    size_t length = strlen(text), to = 0;
    char *clean = bt_alloc(3 * length + 1, 1);
    bool added;

    if (!clean)
        return false;
    for (size_t from = 0; from < length;) {
        size_t n = utf8_length((const unsigned char *)text + from);

        memcpy(clean + to, n ? text + from : "\xef\xbf\xbd", n ? n : 3);
        to += n ? n : 3;
        from += n ? n : 1;
    }
    added = parent && cJSON_AddStringToObject(parent, key, clean);
    bt_free(clean);
    return added;
}

static cJSON *add_measured(cJSON *parent, const char *key, const struct bt_measured *m)
{
    cJSON *object = parent ? cJSON_AddObjectToObject(parent, key) : NULL;

    return object && bt_json_add_number(object, "value", m->seen ? m->value : NAN) &&
                   bt_json_add_number(object, "u", m->seen ? m->u : NAN) &&
                   cJSON_AddBoolToObject(object, "seen", m->seen)
               ? object
               : NULL;
}

bool bt_json_add_measured(cJSON *parent, const char *key, const struct bt_measured *m)
{
    return add_measured(parent, key, m) != NULL;
}

static bool add_interval(cJSON *object, const char *key, bool seen, double lo,
                         double hi)
{
    const double interval[2] = {lo, hi};

    return seen ? bt_json_add_numbers(object, key, 2, interval)
                : cJSON_AddNullToObject(object, key) != NULL;
}

static bool add_asked(cJSON *object, const struct bt_measured *m,
                      const struct bt_sure *sure, double confidence)
{
    return add_interval(object, "interval_asked_mm", m->seen, sure->asked.lo,
                        sure->asked.hi) &&
           bt_json_add_number(object, "confidence", confidence) &&
           cJSON_AddBoolToObject(object, "draws_enough",
                                 !sure->draws ||
                                     sure->draws >= bt_draws_enough(confidence));
}

bool bt_json_add_largest(cJSON *parent, const char *key, const struct bt_measured *m,
                         const struct bt_sure *sure, double confidence)
{
    cJSON *object = add_measured(parent, key, m);

    return object &&
           add_interval(object, "interval95_mm", m->seen, sure->lo, sure->hi) &&
           bt_json_add_number(object, "noise_alone_mm", sure->alone) &&
           bt_json_add_count(object, "draws", sure->draws) &&
           (fabs(confidence - 0.95) <= 1e-9 || add_asked(object, m, sure, confidence));
}

bool bt_json_add_numbers(cJSON *parent, const char *key, size_t n, const double value[])
{
    cJSON *array = parent ? cJSON_AddArrayToObject(parent, key) : NULL;

    if (!array)
        return false;
    for (size_t i = 0; i < n; i++) {
        char text[BT_JSON_NUMBER_ROOM];
        cJSON *item = cJSON_CreateRaw(bt_json_number(text, value[i]));

        if (!item)
            return false;
        cJSON_AddItemToArray(array, item);
    }
    return true;
}

cJSON *bt_json_append_object(cJSON *array)
{
    cJSON *object = array ? cJSON_CreateObject() : NULL;

    if (object)
        cJSON_AddItemToArray(array, object);
    return object;
}
