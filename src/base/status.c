/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/status.h"

#include <stdarg.h>
#include <stdio.h>

const char *bt_status_text(enum bt_status status)
{
#define BT_STATUS_TEXT(code, text) text,
    static const char *const texts[] = {BT_STATUS_LIST(BT_STATUS_TEXT)};
#undef BT_STATUS_TEXT
    if ((int)status < 0 || status >= BT_STATUS_COUNT)
        return "unknown status";
    return texts[status];
}

enum bt_status bt_error_set(struct bt_error *err, enum bt_status code, size_t row,
                            size_t column, const char *format, ...)
{
    if (err) {
        va_list args;
        err->code = code;
        err->row = row;
        err->column = column;
        va_start(args, format);
        vsnprintf(err->message, sizeof err->message, format, args);
        va_end(args);
    }
    return code;
}
