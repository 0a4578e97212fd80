/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_INGEST_KEYS_H
#define BENCHTRUE_INGEST_KEYS_H

#include "ingest/load.h"

/*
 * Values of job.ini.  A reader takes one entry, whose value is not empty, into
 * *out; on BT_EINPUT it has told a fault and *out is untouched.
 */
typedef enum bt_status bt_key_reader(struct bt_load *load,
                                     const struct bt_ini_entry *entry, void *out);

bt_key_reader bt_key_text;          /* char **, replaced */
bt_key_reader bt_key_date;          /* char[11], YYYY-MM-DD */
bt_key_reader bt_key_date_text;     /* char **, YYYY-MM-DD */
bt_key_reader bt_key_length;        /* double *, mm, any */
bt_key_reader bt_key_above_zero;    /* double *, mm, > 0 */
bt_key_reader bt_key_zero_or_above; /* double *, mm, >= 0 */
bt_key_reader bt_key_slope;         /* double *, mm/mm, > 0 */
bt_key_reader bt_key_angle;         /* double *, rad, > 0, at most 10 degrees */
bt_key_reader bt_key_force;         /* double *, N, > 0 */
bt_key_reader bt_key_pressure;      /* double *, MPa, > 0 */
bt_key_reader bt_key_minutes;       /* double *, minutes, > 0 */
bt_key_reader bt_key_pad;           /* double *, mm, 0 to 300 */
bt_key_reader bt_key_count;         /* size_t *, a whole number, 1 to 1000 */
bt_key_reader bt_key_humidity;      /* double *, %, 0 to 100 */
bt_key_reader bt_key_moisture;      /* double *, % of dry mass, 0 to 250 */
bt_key_reader bt_key_temperature;   /* double *, C, -50 to 60 */
bt_key_reader bt_key_confidence;    /* double *, share, above 0.5 and below 1 */
bt_key_reader bt_key_yes_no;        /* bool * */
bt_key_reader bt_key_on_off;        /* int *, 1 or 0 */
bt_key_reader bt_key_face;          /* enum bt_face * */

/* A value out of n words; *out: which. */
enum bt_status bt_key_choice(struct bt_load *load, const struct bt_ini_entry *entry,
                             size_t n, const char *const words[], size_t *out);

/* Any quantity of a dimension; unit: of a bare number. */
enum bt_status bt_key_quantity(struct bt_load *load, const struct bt_ini_entry *entry,
                               enum bt_dimension dim, enum bt_unit unit,
                               struct bt_quantity *out);

/* A fault at the value, and at the key.  Return BT_EINPUT. */
enum bt_status bt_key_value_fault(struct bt_load *load,
                                  const struct bt_ini_entry *entry, const char *format,
                                  ...) BT_PRINTF(3, 4);
enum bt_status bt_key_fault(struct bt_load *load, const struct bt_ini_entry *entry,
                            const char *format, ...) BT_PRINTF(3, 4);

/* A key of a section, and the member that it fills. */
struct bt_key {
    const char *name;
    bt_key_reader *read; /* NULL: known, and read elsewhere */
    size_t offset;       /* of the member in `base` */
};

/* Read the entries of a section into base; an unknown key is a fault that names the
 * nearest.  BT_OK or BT_ENOMEM. */
enum bt_status bt_keys_read(struct bt_load *load, const struct bt_ini_section *section,
                            size_t nkey, const struct bt_key keys[], void *base);

/* The entry of a key; NULL where it is missing or its value is empty. */
const struct bt_ini_entry *bt_keys_entry(const struct bt_ini_section *section,
                                         const char *key);

#endif
