/* The bust and its hair as a glTF 2.0 model (Khronos Group, glTF 2.0 Specification, 2021; ISO/IEC
 * 12113:2022).
 *
 * glTF's frame is ours: right-handed, y up, z to the front, metres. One buffer holds, one after the other,
 * the bust's positions, normals and triangles and the hairs' points, colours and segments, all of four-byte
 * parts, so that every view is aligned. Hairs are one primitive of lines. Hair i of the cut is the i-th run
 * of joined segments. A viewer draws lines without light, so the colours carry what light would show: every
 * hair a little lighter or darker than its neighbour, and all darker at the root.
 *
 * docs/export.md says what a reader finds in the file. */
#include <math.h>
#include <string.h>

#include "bytes.h"
#include "draw.h"
#include "fail.h"
#include "map.h"
#include "strands.h"

enum { FLOAT = 5126, UNSIGNED_INT = 5125, UNSIGNED_BYTE = 5121, ARRAY = 34962, ELEMENTS = 34963 };

/* What one accessor reads through one view of the buffer. */
typedef struct stretch {
    const char *type; /* of an element */
    int component, target;
    bool normalized;
    int count;
    size_t offset, size;
    float low[3], high[3]; /* of positions */
    bool bounded;
} stretch;

enum { BUST_POSITION, BUST_NORMAL, BUST_TRIANGLE, HAIR_POSITION, HAIR_COLOUR, HAIR_SEGMENT, VIEWS };

typedef struct model {
    bytes buffer;
    int count; /* of views: without hair only the first three */
    stretch views[VIEWS];
} model;

static void little_endian(unsigned char *to, uint32_t u) {
    for (int i = 0; i < 4; i++) to[i] = (unsigned char)(u >> 8 * i);
}

static void add_whole(bytes *b, uint32_t u) {
    unsigned char text[4];
    little_endian(text, u);
    bytes_add(b, text, sizeof text);
}

static void add_vector(bytes *b, const float v[3]) {
    unsigned char text[12];
    for (int k = 0; k < 3; k++) {
        uint32_t u;
        memcpy(&u, &v[k], sizeof u);
        little_endian(text + 4 * k, u);
    }
    bytes_add(b, text, sizeof text);
}

static void begin(model *m, int at, stretch v) {
    v.offset = m->buffer.size;
    m->views[at] = v;
    m->count = at + 1;
}

static void end(model *m) {
    stretch *v = &m->views[m->count - 1];
    v->size = m->buffer.size - v->offset;
}

static void add_vectors(model *m, int at, const lw_vec3 *p, int n, bool bounded) {
    stretch v = {.type = "VEC3", .component = FLOAT, .target = ARRAY, .count = n, .bounded = bounded};
    for (int k = 0; k < 3; k++) v.low[k] = INFINITY, v.high[k] = -INFINITY;
    begin(m, at, v);
    for (int i = 0; i < n; i++) {
        float f[3] = {(float)p[i].x, (float)p[i].y, (float)p[i].z};
        stretch *own = &m->views[at];
        for (int k = 0; k < 3; k++) {
            own->low[k] = fminf(own->low[k], f[k]);
            own->high[k] = fmaxf(own->high[k], f[k]);
        }
        add_vector(&m->buffer, f);
    }
    end(m);
}

static void add_bust(model *m, const lw_mesh *mesh) {
    add_vectors(m, BUST_POSITION, mesh->position, mesh->vertex_count, true);
    add_vectors(m, BUST_NORMAL, mesh->normal, mesh->vertex_count, false);
    begin(m, BUST_TRIANGLE,
          (stretch){.type = "SCALAR",
                    .component = UNSIGNED_INT,
                    .target = ELEMENTS,
                    .count = 3 * mesh->triangle_count});
    for (int i = 0; i < mesh->triangle_count; i++)
        for (int k = 0; k < 3; k++) add_whole(&m->buffer, (uint32_t)mesh->triangle[i][k]);
    end(m);
}

/* Of the i-th hair: even from 0 to 1, and neighbours far apart (Weyl's sequence of the golden ratio). */
static double tint(int i) { return fmod((i + 1) * 0.6180339887498949, 1); }

static void add_colour(bytes *b, const double light[3]) {
    unsigned char c[4] = {0, 0, 0, 255};
    for (int k = 0; k < 3; k++) c[k] = (unsigned char)lround(fmin(255 * light[k], 255));
    bytes_add(b, c, sizeof c);
}

/* Linear light, as glTF has it: dark brown, lighter from root to tip and from hair to hair. */
static void add_brown(bytes *b, int hair, double along) {
    static const double brown[3] = {.16, .080, .042};
    double light = (.45 + .55 * fmin(along / .04, 1)) * (.6 + .8 * tint(hair)), c[3];
    for (int k = 0; k < 3; k++) c[k] = brown[k] * light;
    add_colour(b, c);
}

static map_scale scale_of(const draw_subject *s) {
    const double *length = lw_cut_lengths(s->cut);
    map_scale scale = {.low = length[0], .high = length[0]};
    for (int i = 1; i < lw_scalp_count(s->scalp); i++) {
        scale.low = fmin(scale.low, length[i]);
        scale.high = fmax(scale.high, length[i]);
    }
    return scale;
}

/* The map's colour as linear light (IEC 61966-2-1). */
static void add_mapped(bytes *b, const map_scale *scale, double length) {
    double c[3];
    map_colour(c, scale, length);
    for (int k = 0; k < 3; k++) c[k] = c[k] <= .04045 ? c[k] / 12.92 : pow((c[k] + .055) / 1.055, 2.4);
    add_colour(b, c);
}

static double apart(lw_vec3 a, lw_vec3 b) { return hypot(hypot(a.x - b.x, a.y - b.y), a.z - b.z); }

static void add_hairs(model *m, const strands *s, const map_scale *scale, const double *length) {
    int points = s->first[s->count];
    add_vectors(m, HAIR_POSITION, s->point, points, true);
    begin(m, HAIR_COLOUR,
          (stretch){.type = "VEC4",
                    .component = UNSIGNED_BYTE,
                    .target = ARRAY,
                    .normalized = true,
                    .count = points});
    for (int i = 0; i < s->count; i++) {
        double along = 0;
        for (int k = s->first[i]; k < s->first[i + 1]; k++) {
            if (k > s->first[i]) along += apart(s->point[k], s->point[k - 1]);
            if (scale)
                add_mapped(&m->buffer, scale, length[i]);
            else
                add_brown(&m->buffer, i, along);
        }
    }
    end(m);
    begin(m, HAIR_SEGMENT,
          (stretch){.type = "SCALAR",
                    .component = UNSIGNED_INT,
                    .target = ELEMENTS,
                    .count = 2 * (points - s->count)});
    for (int i = 0; i < s->count; i++)
        for (int k = s->first[i]; k + 1 < s->first[i + 1]; k++) {
            add_whole(&m->buffer, (uint32_t)k);
            add_whole(&m->buffer, (uint32_t)k + 1);
        }
    end(m);
}

/* ---- the text that describes the buffer ---- */

static void text(bytes *b, const char *s) {
    bytes_text(b, "\"");
    for (; *s; s++) {
        unsigned char c = (unsigned char)*s;
        if (c == '"' || c == '\\')
            bytes_print(b, "\\%c", c);
        else if (c < 0x20 || c == 0x7f)
            bytes_print(b, "\\u%04x", c);
        else
            bytes_add(b, s, 1);
    }
    bytes_text(b, "\"");
}

static void say_bound(bytes *b, const char *name, const float v[3]) {
    bytes_print(b, ",\"%s\":[%.9g,%.9g,%.9g]", name, (double)v[0], (double)v[1], (double)v[2]);
}

static void say_accessors(bytes *b, const model *m) {
    bytes_text(b, ",\"accessors\":[");
    for (int i = 0; i < m->count; i++) {
        const stretch *v = &m->views[i];
        bytes_print(b, "%s{\"bufferView\":%d,\"componentType\":%d,\"count\":%d,\"type\":\"%s\"", i ? "," : "",
                    i, v->component, v->count, v->type);
        if (v->normalized) bytes_text(b, ",\"normalized\":true");
        if (v->bounded) {
            say_bound(b, "min", v->low);
            say_bound(b, "max", v->high);
        }
        bytes_text(b, "}");
    }
    bytes_text(b, "],\"bufferViews\":[");
    for (int i = 0; i < m->count; i++)
        bytes_print(b, "%s{\"buffer\":0,\"byteOffset\":%zu,\"byteLength\":%zu,\"target\":%d}", i ? "," : "",
                    m->views[i].offset, m->views[i].size, m->views[i].target);
    bytes_text(b, "]");
}

static void say_asset(bytes *b, const draw_subject *s, draw_hair hair, const map_scale *scale) {
    static const char *const names[] = {
        [DRAW_HAIR_FALLEN] = "fallen", [DRAW_HAIR_HELD] = "held", [DRAW_HAIR_NONE] = "none"};
    bytes_text(b, "{\"asset\":{\"version\":\"2.0\",\"generator\":\"lengthwise " LW_VERSION
                  "\",\"extras\":{\"title\":");
    text(b, s->plan->title);
    bytes_text(b, ",\"person\":");
    text(b, s->plan->person);
    bytes_print(b, ",\"hair\":\"%s\"", names[hair]);
    if (scale) bytes_print(b, ",\"shortest\":%.17g,\"longest\":%.17g", scale->low, scale->high);
    bytes_text(b, "}}");
}

static void say_scene(bytes *b, const model *m) {
    bool hair = m->count > HAIR_POSITION;
    bytes_print(b, ",\"scene\":0,\"scenes\":[{\"nodes\":[0%s]}],\"nodes\":[{\"name\":\"bust\",\"mesh\":0}%s]",
                hair ? ",1" : "", hair ? ",{\"name\":\"hair\",\"mesh\":1}" : "");
    bytes_print(
        b,
        ",\"meshes\":[{\"name\":\"bust\",\"primitives\":[{\"attributes\":{\"POSITION\":%d,\"NORMAL\":%d},"
        "\"indices\":%d,\"material\":0}]}",
        BUST_POSITION, BUST_NORMAL, BUST_TRIANGLE);
    if (hair)
        bytes_print(b,
                    ",{\"name\":\"hair\",\"primitives\":[{\"attributes\":{\"POSITION\":%d,\"COLOR_0\":%d},"
                    "\"indices\":%d,\"material\":1,\"mode\":1}]}",
                    HAIR_POSITION, HAIR_COLOUR, HAIR_SEGMENT);
    bytes_text(
        b,
        "],\"materials\":[{\"name\":\"clay\",\"pbrMetallicRoughness\":{\"baseColorFactor\":[0.55,0.5,0.46,1],"
        "\"metallicFactor\":0,\"roughnessFactor\":0.85}}");
    if (hair)
        bytes_text(
            b,
            ",{\"name\":\"hair\",\"pbrMetallicRoughness\":{\"metallicFactor\":0,\"roughnessFactor\":0.6}}");
    bytes_text(b, "]");
}

static void add_base64(bytes *out, const bytes *from) {
    static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    for (size_t i = 0; i < from->size; i += 3) {
        uint32_t three = 0;
        size_t n = from->size - i < 3 ? from->size - i : 3;
        for (size_t k = 0; k < 3; k++) three = three << 8 | (k < n ? from->data[i + k] : 0u);
        char four[4];
        for (int k = 0; k < 4; k++) four[k] = digits[three >> (18 - 6 * k) & 63];
        if (n < 3) four[3] = '=';
        if (n < 2) four[2] = '=';
        bytes_add(out, four, sizeof four);
    }
}

static void chunk(bytes *out, uint32_t kind, const bytes *from, char filler) {
    uint32_t padded = (uint32_t)(from->size + 3) / 4 * 4;
    add_whole(out, padded);
    add_whole(out, kind);
    bytes_add(out, from->data, from->size);
    for (size_t i = from->size; i < padded; i++) bytes_add(out, &filler, 1);
}

static void put_together(bytes *out, bytes *json, const bytes *buffer, bool binary) {
    bytes_print(json, ",\"buffers\":[{\"byteLength\":%zu", buffer->size);
    if (!binary) {
        bytes_text(json, ",\"uri\":\"data:application/octet-stream;base64,");
        add_base64(json, buffer);
        bytes_text(json, "\"");
    }
    bytes_text(json, "}]}");
    if (!binary) {
        bytes_text(json, "\n");
        *out = *json;
        *json = (bytes){0};
        return;
    }
    enum { MAGIC = 0x46546C67, JSON_CHUNK = 0x4E4F534A, BINARY_CHUNK = 0x004E4942 };
    add_whole(out, MAGIC);
    add_whole(out, 2);
    add_whole(out, (uint32_t)(12 + 8 + (json->size + 3) / 4 * 4 + 8 + (buffer->size + 3) / 4 * 4));
    chunk(out, JSON_CHUNK, json, ' ');
    chunk(out, BINARY_CHUNK, buffer, '\0');
    out->failed |= json->failed;
}

draw_model_options draw_model_default(void) {
    return (draw_model_options){true, DRAW_HAIR_FALLEN, false, .003};
}

static lw_status check(const draw_subject *subject, const lw_strands *fallen, draw_hair hair,
                       lw_error *error) {
    if ((unsigned)hair > DRAW_HAIR_NONE)
        return fail(error, LW_ERROR_ARGUMENT, "hair", "Take a draw_hair.", "there is no hair %d", (int)hair);
    if (hair == DRAW_HAIR_NONE) return LW_OK;
    int count = fallen ? fallen->count : 0, nodes = fallen ? fallen->nodes : 0;
    if (count != lw_scalp_count(subject->scalp) || nodes < 2 || nodes > STRANDS_NODES_MAX)
        return fail(error, LW_ERROR_ARGUMENT, "fallen", "Give every hair of the cut at rest.",
                    "%d hairs of %d points are not those of a cut of %d", count, nodes,
                    lw_scalp_count(subject->scalp));
    return LW_OK;
}

lw_status draw_model(draw_bytes *out, const draw_subject *subject, const lw_strands *fallen,
                     const draw_model_options *options, lw_error *error) {
    *out = (draw_bytes){0};
    lw_status status = check(subject, fallen, options->hair, error);
    if (status) return status;
    model m = {.count = 0};
    lw_mesh mesh = {0};
    strands hairs = {0};
    bytes json = {0}, file = {0};
    status = lw_mesh_new(&mesh, subject->head, options->cell, error);
    if (!status) status = strands_new(&hairs, subject, fallen, options->hair, error);
    if (!status) {
        add_bust(&m, &mesh);
        map_scale lengths = scale_of(subject);
        const map_scale *scale = options->map && hairs.count ? &lengths : NULL;
        if (hairs.count) add_hairs(&m, &hairs, scale, lw_cut_lengths(subject->cut));
        say_asset(&json, subject, options->hair, scale);
        say_scene(&json, &m);
        say_accessors(&json, &m);
        put_together(&file, &json, &m.buffer, options->binary);
        file.failed |= m.buffer.failed;
        status = bytes_take(out, &file, error);
    }
    bytes_clear(&json);
    bytes_clear(&m.buffer);
    strands_clear(&hairs);
    lw_mesh_clear(&mesh);
    return status;
}
