/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/svg.h"

#include <string.h>

#include "benchtrue/base/alloc.h"

struct stream {
    struct bt_figure_bytes b;
    size_t room;
    bool failed;
};

static void add(struct stream *s, const void *data, size_t length)
{
    unsigned char *grown =
        s->failed ? NULL : bt_grow(s->b.bytes, &s->room, s->b.length + length, 1);

    if (!grown) {
        s->failed = true;
        return;
    }
    s->b.bytes = grown;
    memcpy(grown + s->b.length, data, length);
    s->b.length += length;
}

static void add_text(struct stream *s, const char *text)
{
    add(s, text, strlen(text));
}

/* Character data: what was written is valid UTF-8 already, control characters are not
 * in XML 1.0. */
static void add_escaped(struct stream *s, const char *text)
{
    for (; *text; text++) {
        if (*text == '&')
            add_text(s, "&amp;");
        else if (*text == '<')
            add_text(s, "&lt;");
        else if (*text == '>')
            add_text(s, "&gt;");
        else if ((unsigned char)*text < ' ')
            add_text(s, " ");
        else
            add(s, text, 1);
    }
}

static void add_description(struct stream *s, const char *title, size_t nwritten,
                            const struct written written[], const char words[])
{
    add_text(s, "\n<title>");
    add_escaped(s, title);
    add_text(s, "</title>\n<desc>");
    for (size_t i = 0; i < nwritten; i++) {
        add_escaped(s, words + written[i].text);
        add_text(s, "\n");
    }
    add_text(s, "</desc>");
}

static size_t find(const struct bt_figure_bytes *svg, size_t from, const char *what)
{
    size_t n = strlen(what);

    for (size_t i = from; i + n <= svg->length; i++)
        if (svg->bytes[i] == (unsigned char)what[0] &&
            memcmp(svg->bytes + i, what, n) == 0)
            return i;
    return svg->length;
}

static size_t skip_digits(const struct bt_figure_bytes *svg, size_t i)
{
    while (i < svg->length && svg->bytes[i] >= '0' && svg->bytes[i] <= '9')
        i++;
    return i;
}

/* The one surface of the file is always number 1. */
static void add_body(struct stream *s, const struct bt_figure_bytes *svg, size_t from)
{
    static const char name[] = "id=\"surface";

    for (;;) {
        size_t at = find(svg, from, name), end = at + strlen(name);

        if (at == svg->length)
            break;
        add(s, svg->bytes + from, end - from);
        add_text(s, "1");
        from = skip_digits(svg, end);
    }
    add(s, svg->bytes + from, svg->length - from);
}

enum bt_status svg_describe(const struct bt_figure_bytes *svg, const char *title,
                            size_t nwritten, const struct written written[],
                            const char words[], struct bt_figure_bytes *out,
                            struct bt_error *err)
{
    size_t root = find(svg, 0, "<svg"), end = find(svg, root, ">");
    struct stream s = {0};

    if (end == svg->length)
        return bt_error_set(err, BT_EWRITE, 0, 0,
                            "the figure cannot be drawn: no SVG came");
    add(&s, svg->bytes, end + 1);
    add_description(&s, title, nwritten, written, words);
    add_body(&s, svg, end + 1);
    if (s.failed) {
        bt_free(s.b.bytes);
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    }
    *out = s.b;
    return BT_OK;
}
