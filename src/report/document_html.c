/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/document_html.h"

#include <glib.h>
#include <libxml/HTMLtree.h>
#include <stdio.h>
#include <string.h>

/* Letters of the system; black on white whatever the device prefers, since it is a
 * paper; wide tables scroll by themselves on a phone. */
static const char style[] =
    "html{color-scheme:light;background:#fff;color:#111}"
    "body{font:1rem/1.5 system-ui,sans-serif;max-width:46rem;margin:0 "
    "auto;padding:1rem}"
    "h1{font-size:1.75rem;line-height:1.2;margin:.5rem 0}"
    "h2{font-size:1.3rem;margin:2rem 0 .5rem;border-bottom:2px solid #111;"
    "break-after:avoid}"
    "h3{font-size:1.05rem;margin:1.25rem 0 .25rem;break-after:avoid}"
    "p{margin:.5rem 0}.verdict{font-weight:700}"
    ".wide{overflow-x:auto}"
    "table{border-collapse:collapse;width:100%;font-size:.95rem}"
    "th,td{text-align:left;vertical-align:top;padding:.25rem .75rem .25rem 0;"
    "border-bottom:1px solid #999}th{border-bottom:2px solid #111}"
    "th.n,td.n{text-align:right}tr{break-inside:avoid}"
    "figure{margin:1rem 0;break-inside:avoid}figure img{width:100%;height:auto}"
    "figcaption{font-size:.9rem}footer{margin-top:2rem;font-size:.8rem;"
    "border-top:1px solid #999;white-space:pre-line}"
    ".page{break-before:page}"
    "@media "
    "print{body{max-width:none;padding:0;font-size:10.5pt}.wide{overflow:visible}"
    "@page{margin:15mm}}";

/* A failed call is kept; libxml2 gives NULL for lack of memory and nothing else here.
 */
struct writing {
    xmlNodePtr body;
    bool failed, new_page;
};

static const xmlChar *as_xml(const char *text)
{
    return (const xmlChar *)text;
}

/* Control characters are no XML; a line break is. */
static void clean(char *text)
{
    for (; *text; text++)
        if ((unsigned char)*text < ' ' && *text != '\n')
            *text = '?';
}

static xmlNodePtr add(struct writing *w, xmlNodePtr parent, const char *name,
                      const char *text)
{
    xmlNodePtr node = NULL;
    gchar *valid = text ? g_utf8_make_valid(text, -1) : NULL;

    if (valid)
        clean(valid);
    if (parent && !w->failed)
        node =
            xmlNewTextChild(parent, NULL, as_xml(name), valid ? as_xml(valid) : NULL);
    g_free(valid);
    if (!node)
        w->failed = true;
    return node;
}

static void set(struct writing *w, xmlNodePtr node, const char *name, const char *value)
{
    if (!node || !xmlNewProp(node, as_xml(name), as_xml(value)))
        w->failed = true;
}

/* ---- the parts ---- */

static void add_row(struct writing *w, xmlNodePtr parent, const struct bt_part *part,
                    size_t row)
{
    xmlNodePtr tr = add(w, parent, "tr", NULL);

    for (size_t c = 0; c < part->ncolumn; c++) {
        const size_t k = row * part->ncolumn + c;
        xmlNodePtr node =
            add(w, tr, row ? "td" : "th", k < part->ncell ? part->cell[k] : "");

        if (row == 0)
            set(w, node, "scope", "col");
        if (part->numbers >> c & 1u)
            set(w, node, "class", "n");
    }
}

static void add_table(struct writing *w, const struct bt_part *part)
{
    xmlNodePtr wide = add(w, w->body, "div", NULL), table, head, body;

    if (part->ncolumn == 0)
        return;
    set(w, wide, "class", "wide");
    table = add(w, wide, "table", NULL);
    head = add(w, table, "thead", NULL);
    add_row(w, head, part, 0);
    body = add(w, table, "tbody", NULL);
    for (size_t r = 1; r * part->ncolumn < part->ncell; r++)
        add_row(w, body, part, r);
}

static void add_list(struct writing *w, const struct bt_part *part)
{
    xmlNodePtr list;

    if (part->text)
        add(w, w->body, "p", part->text);
    list = add(w, w->body, "ul", NULL);
    for (size_t i = 0; i < part->ncell; i++)
        add(w, list, "li", part->cell[i]);
}

/* As an image of its own: the letters of two SVGs in one page would share names. */
static enum bt_status add_figure(struct writing *w, const struct bt_part *part,
                                 struct bt_error *err)
{
    static const char prefix[] = "data:image/svg+xml;base64,";
    struct bt_figure_bytes svg = {0};
    enum bt_status status = part->make(part->input, BT_FIGURE_SVG, &svg, err);
    xmlNodePtr figure, image;
    gchar *coded;

    if (status != BT_OK)
        return status;
    coded = g_base64_encode(svg.bytes, svg.length);
    bt_figure_bytes_clear(&svg);
    figure = add(w, w->body, "figure", NULL);
    image = add(w, figure, "img", NULL);
    if (coded) {
        gchar *source = g_strconcat(prefix, coded, NULL);
        set(w, image, "src", source);
        g_free(source);
    }
    set(w, image, "alt", part->text ? part->text : "");
    if (part->text)
        add(w, figure, "figcaption", part->text);
    g_free(coded);
    return BT_OK;
}

static enum bt_status add_part(struct writing *w, const struct bt_part *part,
                               struct bt_error *err)
{
    xmlNodePtr node;

    switch (part->kind) {
    case BT_PART_HEADING:
        node = add(w, w->body, part->level <= 2 ? "h2" : "h3", part->text);
        if (w->new_page)
            set(w, node, "class", "page");
        w->new_page = false;
        break;
    case BT_PART_TEXT:
        add(w, w->body, "p", part->text);
        break;
    case BT_PART_VERDICT:
        set(w, add(w, w->body, "p", part->text), "class", "verdict");
        break;
    case BT_PART_TABLE:
        add_table(w, part);
        break;
    case BT_PART_LIST:
        add_list(w, part);
        break;
    case BT_PART_FIGURE:
        return add_figure(w, part, err);
    case BT_PART_PAGE:
        w->new_page = true;
        break;
    }
    return BT_OK;
}

/* ---- the whole ---- */

static void add_head(struct writing *w, xmlNodePtr html, const char *title)
{
    xmlNodePtr head = add(w, html, "head", NULL), meta = add(w, head, "meta", NULL);

    set(w, meta, "charset", "utf-8");
    meta = add(w, head, "meta", NULL);
    set(w, meta, "name", "viewport");
    set(w, meta, "content", "width=device-width, initial-scale=1");
    add(w, head, "title", title);
    add(w, head, "style", style);
}

static enum bt_status add_all(struct writing *w, const struct bt_document *d,
                              xmlNodePtr html, struct bt_error *err)
{
    enum bt_status status = BT_OK;

    set(w, html, "lang", "en");
    add_head(w, html, d->title);
    w->body = add(w, add(w, html, "body", NULL), "main", NULL);
    add(w, w->body, "h1", d->title);
    if (*d->subtitle)
        add(w, w->body, "p", d->subtitle);
    for (size_t i = 0; i < d->npart && status == BT_OK; i++)
        status = add_part(w, &d->part[i], err);
    if (*d->foot)
        add(w, w->body ? w->body->parent : NULL, "footer", d->foot);
    return status;
}

static enum bt_status write_out(xmlDocPtr doc, struct bt_buffer *out)
{
    static const char type[] = "<!DOCTYPE html>\n";
    xmlChar *text = NULL;
    int length = 0;

    htmlDocDumpMemoryFormat(doc, &text, &length, 0);
    if (!text)
        return BT_ENOMEM;
    /* libxml2 knows the document types of HTML 4 only and is given none */
    bt_buffer_text(out, type);
    bt_buffer_add(out, (const char *)text, (size_t)length);
    xmlFree(text);
    return bt_buffer_status(out);
}

enum bt_status bt_document_html(const struct bt_document *document,
                                struct bt_buffer *out, struct bt_error *err)
{
    struct writing w = {0};
    enum bt_status status = BT_ENOMEM;
    xmlDocPtr doc = htmlNewDocNoDtD(NULL, NULL);
    xmlNodePtr html = doc ? xmlNewDocNode(doc, NULL, as_xml("html"), NULL) : NULL;

    if (html) {
        xmlDocSetRootElement(doc, html);
        status = add_all(&w, document, html, err);
        if (status == BT_OK && !w.failed)
            status = write_out(doc, out);
        else if (status == BT_OK)
            status = BT_ENOMEM;
    }
    if (doc)
        xmlFreeDoc(doc);
    if (status == BT_ENOMEM)
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    return status;
}
