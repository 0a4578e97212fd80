/* SPDX-License-Identifier: GPL-3.0-or-later */
/* [climate] of job.ini: `30 % at 20 C`, the air, or `8 %`, the moisture of the wood. */
#include "ingest/load.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "ingest/keys.h"

/* Part of a value as an entry of its own, so that a fault has its place. */
static struct bt_ini_entry part_of(const struct bt_ini_entry *entry, size_t from,
                                   size_t length)
{
    struct bt_ini_entry part = *entry;

    part.value.text = entry->value.text + from;
    part.value.length = length;
    part.value.column += bt_text_columns(entry->value.text, from);
    return part;
}

/* Where ` at ` stands; the length of the value where it does not. */
static size_t find_at(const struct bt_ini_text *value)
{
    for (size_t i = 0; i + 4 <= value->length; i++)
        if (memcmp(value->text + i, " at ", 4) == 0)
            return i;
    return value->length;
}

static enum bt_status read_air(struct bt_load *load, const struct bt_ini_entry *entry,
                               size_t at, struct bt_season *out)
{
    const struct bt_ini_entry air = part_of(entry, 0, at);
    const struct bt_ini_entry warmth =
        part_of(entry, at + 4, entry->value.length - at - 4);
    double humidity, temperature;
    struct bt_error err = {0};
    bool good = bt_key_humidity(load, &air, &humidity) == BT_OK;

    good = bt_key_temperature(load, &warmth, &temperature) == BT_OK && good;
    if (!good)
        return BT_EINPUT;
    if (bt_season_of_air(temperature, humidity, out, &err) != BT_OK)
        return bt_key_value_fault(load, &warmth, "%s", err.message);
    return BT_OK;
}

static enum bt_status read_season(struct bt_load *load,
                                  const struct bt_ini_entry *entry, void *out)
{
    struct bt_season season = {.humidity = NAN, .temperature = NAN};
    const size_t at = find_at(&entry->value);
    char shown[BT_SHOWN_ROOM];

    if (at < entry->value.length)
        return read_air(load, entry, at, out);
    if (bt_key_moisture(load, entry, &season.moisture) != BT_OK)
        return BT_EINPUT;
    if (!(season.moisture <= BT_SEASON_MOISTURE_MOST)) {
        bt_fault_shown(entry->value.text, entry->value.length, shown);
        return bt_key_value_fault(load, entry,
                                  "wood in a room is no damper than 30 %%: '%s'; the "
                                  "air is written with its temperature, as %s at 20 C",
                                  shown, shown);
    }
    *(struct bt_season *)out = season;
    return BT_OK;
}

enum bt_status bt_climate_section_read(struct bt_load *load,
                                       const struct bt_ini_section *section)
{
    static const struct bt_key keys[] = {
        {"driest", read_season, offsetof(struct bt_climate, driest)},
        {"dampest", read_season, offsetof(struct bt_climate, dampest)},
        {"now", read_season, offsetof(struct bt_climate, now)},
    };
    struct bt_climate *climate = &load->job->climate;
    const struct bt_ini_entry *damp = bt_keys_entry(section, "dampest");
    enum bt_status status =
        bt_keys_read(load, section, sizeof keys / sizeof *keys, keys, climate);

    if (status == BT_OK && damp && climate->dampest.moisture < climate->driest.moisture)
        bt_key_value_fault(
            load, damp,
            "the dampest is drier than the driest: wood comes to %.1f %% "
            "in it, and to %.1f %% in the driest",
            climate->dampest.moisture, climate->driest.moisture);
    return status;
}
