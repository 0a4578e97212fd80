/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/keys.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/base/day.h"

static enum bt_status fault_at(struct bt_load *load, size_t line, size_t column,
                               const char *format, va_list args)
{
    char message[sizeof((struct bt_fault *)0)->message];

    vsnprintf(message, sizeof message, format, args);
    return bt_fault_add(load->faults, BT_EINPUT, "job.ini", line, column, "%s",
                        message);
}

enum bt_status bt_key_value_fault(struct bt_load *load,
                                  const struct bt_ini_entry *entry, const char *format,
                                  ...)
{
    enum bt_status status;
    va_list args;

    va_start(args, format);
    status = fault_at(load, entry->line, entry->value.column, format, args);
    va_end(args);
    return status;
}

enum bt_status bt_key_fault(struct bt_load *load, const struct bt_ini_entry *entry,
                            const char *format, ...)
{
    enum bt_status status;
    va_list args;

    va_start(args, format);
    status = fault_at(load, entry->line, entry->key.column, format, args);
    va_end(args);
    return status;
}

enum bt_status bt_key_quantity(struct bt_load *load, const struct bt_ini_entry *entry,
                               enum bt_dimension dim, enum bt_unit unit,
                               struct bt_quantity *out)
{
    struct bt_error err = {.code = BT_OK};
    const struct bt_ini_text *value = &entry->value;

    if (bt_quantity_parse(value->text, value->length, dim, unit, false, out, &err) ==
        BT_OK)
        return BT_OK;
    return bt_fault_add(load->faults, BT_EINPUT, "job.ini", entry->line,
                        err.column > 1 ? value->column + err.column - 1 : value->column,
                        "%s", err.message);
}

/* Bounds of a number; the words are what a value outside them is told. */
struct bounds {
    double above, least, most; /* > above, >= least, <= most */
    const char *words;
};

static enum bt_status read_bounded(struct bt_load *load,
                                   const struct bt_ini_entry *entry,
                                   enum bt_dimension dim, enum bt_unit unit,
                                   const struct bounds *bounds, double *out)
{
    struct bt_quantity quantity;
    char shown[BT_SHOWN_ROOM];

    if (bt_key_quantity(load, entry, dim, unit, &quantity) != BT_OK)
        return BT_EINPUT;
    if (!(quantity.value > bounds->above) || !(quantity.value >= bounds->least) ||
        !(quantity.value <= bounds->most))
        return bt_key_value_fault(
            load, entry, "%s %s: '%s'", entry->key.text, bounds->words,
            bt_fault_shown(entry->value.text, entry->value.length, shown));
    *out = quantity.value;
    return BT_OK;
}

#define HUGE_MM 1e300 /* what bt_quantity_parse reads at most */
static const struct bounds any = {-HUGE_MM, -HUGE_MM, HUGE_MM, "must be a number"};
static const struct bounds above_zero = {0, 0, HUGE_MM, "must be more than 0"};
static const struct bounds force = {0, 0, 100e3,
                                    "must be more than 0 and at most 100 kN, such as "
                                    "3.5 kN or 800 lbf"};
static const struct bounds pressure = {0, 0, HUGE_MM,
                                       "must be more than 0, such as 1 MPa or 150 psi"};
static const struct bounds length_above_zero = {
    0, 0, HUGE_MM, "must be more than 0, such as 1.5 mm or 1/16 in"};
static const struct bounds time_above_zero = {
    0, 0, HUGE_MM, "must be more than 0, such as 20 min or 2 h"};
static const struct bounds pad = {-1, 0, 300,
                                  "must be 0 to 300 mm, such as 40 mm or 1 1/2 in"};
static const struct bounds not_below = {-1, 0, HUGE_MM, "must not be below 0"};
/* 10 degrees: as far as a fence is believed to be off (fence.h). */
static const struct bounds small_angle = {0, 0, BT_FENCE_MOST_ERROR,
                                          "must be more than 0 and at most 10 deg"};
static const struct bounds humidity = {-1, 0, 100, "must be 0 % to 100 %"};
static const struct bounds moisture = {-1, 0, 250, "must be 0 % to 250 %"};
static const struct bounds shop = {-51, -50, 60, "must be -50 C to 60 C"};

enum bt_status bt_key_length(struct bt_load *load, const struct bt_ini_entry *entry,
                             void *out)
{
    return read_bounded(load, entry, BT_DIM_LENGTH, load->job->unit, &any, out);
}

enum bt_status bt_key_above_zero(struct bt_load *load, const struct bt_ini_entry *entry,
                                 void *out)
{
    return read_bounded(load, entry, BT_DIM_LENGTH, load->job->unit, &length_above_zero,
                        out);
}

enum bt_status bt_key_zero_or_above(struct bt_load *load,
                                    const struct bt_ini_entry *entry, void *out)
{
    return read_bounded(load, entry, BT_DIM_LENGTH, load->job->unit, &not_below, out);
}

enum bt_status bt_key_pad(struct bt_load *load, const struct bt_ini_entry *entry,
                          void *out)
{
    return read_bounded(load, entry, BT_DIM_LENGTH, load->job->unit, &pad, out);
}

enum bt_status bt_key_slope(struct bt_load *load, const struct bt_ini_entry *entry,
                            void *out)
{
    return read_bounded(load, entry, BT_DIM_SLOPE, BT_UNIT_NONE, &above_zero, out);
}

enum bt_status bt_key_angle(struct bt_load *load, const struct bt_ini_entry *entry,
                            void *out)
{
    return read_bounded(load, entry, BT_DIM_ANGLE, BT_UNIT_NONE, &small_angle, out);
}

enum bt_status bt_key_force(struct bt_load *load, const struct bt_ini_entry *entry,
                            void *out)
{
    return read_bounded(load, entry, BT_DIM_FORCE, BT_UNIT_NONE, &force, out);
}

enum bt_status bt_key_pressure(struct bt_load *load, const struct bt_ini_entry *entry,
                               void *out)
{
    return read_bounded(load, entry, BT_DIM_PRESSURE, BT_UNIT_NONE, &pressure, out);
}

enum bt_status bt_key_minutes(struct bt_load *load, const struct bt_ini_entry *entry,
                              void *out)
{
    const struct bt_ini_text *value = &entry->value;
    struct bt_quantity bare;
    char shown[BT_SHOWN_ROOM];
    double days = NAN;

    if (bt_quantity_parse(value->text, value->length, BT_DIM_NUMBER, BT_UNIT_NONE,
                          false, &bare, NULL) == BT_OK)
        return bt_key_value_fault(load, entry,
                                  "a number without a unit: '%s', write minutes as 20 "
                                  "min or hours as 2 h",
                                  bt_fault_shown(value->text, value->length, shown));
    if (read_bounded(load, entry, BT_DIM_TIME, BT_UNIT_NONE, &time_above_zero, &days) !=
        BT_OK)
        return BT_EINPUT;
    *(double *)out = bt_unit_from_inside(days, BT_UNIT_MINUTE);
    return BT_OK;
}

enum bt_status bt_key_count(struct bt_load *load, const struct bt_ini_entry *entry,
                            void *out)
{
    struct bt_quantity quantity;
    char shown[BT_SHOWN_ROOM];

    if (bt_key_quantity(load, entry, BT_DIM_NUMBER, BT_UNIT_NONE, &quantity) != BT_OK)
        return BT_EINPUT;
    if (!quantity.whole || !(quantity.value >= 1) || !(quantity.value <= 1000))
        return bt_key_value_fault(
            load, entry, "%s must be a whole number, 1 to 1000, such as 6: '%s'",
            entry->key.text,
            bt_fault_shown(entry->value.text, entry->value.length, shown));
    *(size_t *)out = (size_t)quantity.value;
    return BT_OK;
}

enum bt_status bt_key_humidity(struct bt_load *load, const struct bt_ini_entry *entry,
                               void *out)
{
    return read_bounded(load, entry, BT_DIM_PERCENT, BT_UNIT_PERCENT, &humidity, out);
}

enum bt_status bt_key_moisture(struct bt_load *load, const struct bt_ini_entry *entry,
                               void *out)
{
    return read_bounded(load, entry, BT_DIM_PERCENT, BT_UNIT_PERCENT, &moisture, out);
}

enum bt_status bt_key_temperature(struct bt_load *load,
                                  const struct bt_ini_entry *entry, void *out)
{
    return read_bounded(load, entry, BT_DIM_TEMPERATURE, BT_UNIT_NONE, &shop, out);
}

enum bt_status bt_key_confidence(struct bt_load *load, const struct bt_ini_entry *entry,
                                 void *out)
{
    struct bt_quantity quantity;
    char shown[BT_SHOWN_ROOM];

    if (bt_key_quantity(load, entry, BT_DIM_PERCENT, BT_UNIT_PERCENT, &quantity) !=
        BT_OK)
        return BT_EINPUT;
    if (!(quantity.value > 50) || !(quantity.value < 100))
        return bt_key_value_fault(
            load, entry,
            "confidence must be more than 50 %% and less than 100 %%: '%s', write it "
            "as "
            "95 %%",
            bt_fault_shown(entry->value.text, entry->value.length, shown));
    *(double *)out = quantity.value / 100;
    return BT_OK;
}

enum bt_status bt_key_text(struct bt_load *load, const struct bt_ini_entry *entry,
                           void *out)
{
    char **text = out;
    char *copy = bt_copy_text(entry->value.text, entry->value.length);

    (void)load;
    if (!copy)
        return BT_ENOMEM;
    bt_free(*text);
    *text = copy;
    return BT_OK;
}

/* YYYY-MM-DD, a day of the Gregorian calendar. */
static bool is_day(const char *text, size_t length)
{
    char date[BT_DATE_ROOM];
    long day;

    if (length != sizeof date - 1)
        return false;
    memcpy(date, text, length);
    date[length] = '\0';
    return bt_day_of_date(date, &day);
}

/* Nobody who reads a panel with this program did so before: a slip in the year. */
#define YEAR_LEAST "1950"

static enum bt_status check_date(struct bt_load *load, const struct bt_ini_entry *entry)
{
    char shown[BT_SHOWN_ROOM];

    if (is_day(entry->value.text, entry->value.length)) {
        if (memcmp(entry->value.text, YEAR_LEAST, 4) >= 0)
            return BT_OK;
        return bt_key_value_fault(
            load, entry, "the year is not likely: '%s', dates begin with " YEAR_LEAST,
            bt_fault_shown(entry->value.text, entry->value.length, shown));
    }
    return bt_key_value_fault(
        load, entry, "not a date: '%s', write year, month and day as 2026-03-16",
        bt_fault_shown(entry->value.text, entry->value.length, shown));
}

enum bt_status bt_key_date(struct bt_load *load, const struct bt_ini_entry *entry,
                           void *out)
{
    if (check_date(load, entry) != BT_OK)
        return BT_EINPUT;
    memcpy(out, entry->value.text, 11);
    return BT_OK;
}

enum bt_status bt_key_date_text(struct bt_load *load, const struct bt_ini_entry *entry,
                                void *out)
{
    if (check_date(load, entry) != BT_OK)
        return BT_EINPUT;
    return bt_key_text(load, entry, out);
}

enum bt_status bt_key_choice(struct bt_load *load, const struct bt_ini_entry *entry,
                             size_t n, const char *const words[], size_t *out)
{
    const struct bt_ini_text *value = &entry->value;
    char list[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM];

    for (size_t i = 0; i < n; i++)
        if (strlen(words[i]) == value->length &&
            bt_names_alike(words[i], value->text, value->length)) {
            *out = i;
            return BT_OK;
        }
    return bt_key_value_fault(
        load, entry, "unknown value of %s: '%s', write one of %s", entry->key.text,
        bt_fault_shown(value->text, value->length, shown), bt_say_list(list, n, words));
}

enum bt_status bt_key_yes_no(struct bt_load *load, const struct bt_ini_entry *entry,
                             void *out)
{
    static const char *const words[] = {"no", "yes"};
    size_t which;

    if (bt_key_choice(load, entry, 2, words, &which) != BT_OK)
        return BT_EINPUT;
    *(bool *)out = which == 1;
    return BT_OK;
}

enum bt_status bt_key_on_off(struct bt_load *load, const struct bt_ini_entry *entry,
                             void *out)
{
    static const char *const words[] = {"off", "on"};
    size_t which;

    if (bt_key_choice(load, entry, 2, words, &which) != BT_OK)
        return BT_EINPUT;
    *(int *)out = which == 1;
    return BT_OK;
}

enum bt_status bt_key_face(struct bt_load *load, const struct bt_ini_entry *entry,
                           void *out)
{
    static const char *const words[] = {"top", "bottom"};
    size_t which;

    if (bt_key_choice(load, entry, 2, words, &which) != BT_OK)
        return BT_EINPUT;
    *(enum bt_face *)out = which == 1 ? BT_FACE_BOTTOM : BT_FACE_TOP;
    return BT_OK;
}

static enum bt_status unknown_key(struct bt_load *load,
                                  const struct bt_ini_section *section,
                                  const struct bt_ini_entry *entry, size_t nkey,
                                  const struct bt_key keys[])
{
    const char *names[32];
    char known[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM];
    size_t n = nkey < 32 ? nkey : 32;

    for (size_t i = 0; i < n; i++)
        names[i] = keys[i].name;
    return bt_key_fault(
        load, entry, "unknown key in [%s]: '%s', %s", section->kind.text,
        bt_fault_shown(entry->key.text, entry->key.length, shown),
        bt_say_known(known, entry->key.text, entry->key.length, n, names));
}

enum bt_status bt_keys_read(struct bt_load *load, const struct bt_ini_section *section,
                            size_t nkey, const struct bt_key keys[], void *base)
{
    for (size_t i = 0; i < section->nentry; i++) {
        const struct bt_ini_entry *entry = &section->entry[i];
        const struct bt_key *key = keys;
        while (key < keys + nkey && strcmp(key->name, entry->key.text) != 0)
            key++;
        if (key == keys + nkey)
            unknown_key(load, section, entry, nkey, keys);
        else if (key->read && entry->value.length &&
                 key->read(load, entry, (char *)base + key->offset) == BT_ENOMEM)
            return BT_ENOMEM;
    }
    return BT_OK;
}

const struct bt_ini_entry *bt_keys_entry(const struct bt_ini_section *section,
                                         const char *key)
{
    for (size_t i = 0; i < section->nentry; i++)
        if (strcmp(section->entry[i].key.text, key) == 0)
            return section->entry[i].value.length ? &section->entry[i] : NULL;
    return NULL;
}
