/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>
#include <limits.h>
#include <stdio.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/ingest/file.h"
#include "report/report_stages.h"

enum { PATH_ROOM = 4096 };

/* Files of a fixed name; those that are not there are passed over. */
static const char *const files[] = {
    "job.ini",    "boards.csv",    "stock.csv",   "lines.csv",   "fence.csv",
    "dryfit.csv", "thickness.csv", "opening.csv", "cutouts.csv", "fixings.csv"};

static enum bt_status add_hash(struct report *r, struct bt_buffer *out,
                               const char *name, bool must, struct bt_error *err)
{
    struct bt_faults faults = {0};
    char path[PATH_ROOM], *text = NULL;
    size_t length = 0;
    enum bt_status status;

    if (snprintf(path, sizeof path, "%s/%s", r->job->folder, name) >= (int)sizeof path)
        return bt_error_set(err, BT_EREAD, 0, 0,
                            "the path of a file is too long for this system");
    status = bt_file_read(path, name, &text, &length, &faults);
    if (status == BT_OK) {
        gchar *sum = g_compute_checksum_for_data(G_CHECKSUM_SHA256,
                                                 (const guchar *)text, length);
        bt_buffer_name(out, name);
        bt_buffer_format(out, "  SHA-256 %s\n", sum ? sum : "");
        g_free(sum);
    } else if (status == BT_ENOFILE && !must) {
        status = BT_OK;
    } else {
        bt_error_set(err, status, 0, 0, "%s: %s", name, bt_status_text(status));
    }
    bt_free(text);
    bt_faults_clear(&faults);
    return status;
}

enum bt_status report_foot(struct report *r, const char *version, const char **foot,
                           struct bt_error *err)
{
    struct bt_buffer out = {0};
    enum bt_status status = BT_OK;

    bt_buffer_format(&out, "benchtrue %s", version);
    if (*r->job->date)
        bt_buffer_format(&out, ", job of %s", r->job->date);
    bt_buffer_text(&out, ". Made from these files:\n");
    for (size_t i = 0; i < sizeof files / sizeof *files && status == BT_OK; i++)
        status = add_hash(r, &out, files[i], false, err);
    for (size_t s = 0; s < r->job->nset; s++)
        for (size_t i = 0; i < r->job->set[s].nfile && status == BT_OK; i++)
            status = add_hash(r, &out, r->job->set[s].file[i], true, err);
    if (status == BT_OK)
        *foot = kept_take(&r->build.kept, &out);
    bt_buffer_clear(&out);
    return status;
}
