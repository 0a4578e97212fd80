/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/uses.h"

#include <string.h>

#include "app/say.h"
#include "benchtrue/report/buffer.h"

static enum exit_code refuse_use(const char *use)
{
    struct bt_buffer uses = {0};
    enum exit_code code;

    for (size_t i = 0; i < bt_band_count(); i++) {
        bt_buffer_text(&uses, i ? ", " : "");
        bt_buffer_text(&uses, bt_band_at(i)->use);
    }
    code = bt_buffer_status(&uses) != BT_OK
               ? say_error(BT_ENOMEM, bt_status_text(BT_ENOMEM))
               : say(EXIT_USAGE,
                     "--use: unknown use: '%s', write one of %s, or leave it out and "
                     "state limits of your own in job.ini",
                     use, uses.text);
    bt_buffer_clear(&uses);
    return code;
}

enum exit_code find_use(const char *use, const struct bt_band **band)
{
    *band = bt_band_find(use, strlen(use));
    return *band ? EXIT_DONE : refuse_use(use);
}
