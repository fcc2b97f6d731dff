/* The OpenAPI 3.1 document (https://spec.openapis.org/oas/v3.1.0), written from the tables of routes, shapes
 * and problems: whatever is not in a table is not in the document either. */
#include "openapi.h"

#include <stdio.h>
#include <string.h>

#include "problems.h"
#include "routes.h"
#include "secret.h"

static void put_reference(json *j, const char *key, const char *kind, const char *name) {
    char text[96];
    snprintf(text, sizeof text, "#/components/%s/%s", kind, name);
    put_open_inline(j, key, '{');
    put_text(j, "$ref", text);
    put_close(j, '}');
}

/* A schema of which nothing but its type is said. */
static void put_type(json *j, const char *key, const char *type) {
    put_open_inline(j, key, '{');
    put_text(j, "type", type);
    put_close(j, '}');
}

/* ---- shapes ------------------------------------------------------------------------------- */

/* Shapes that shapes are made of, once each. */
typedef struct known {
    const shape *at[48];
    int count;
} known;

static void learn(known *k, const shape *s) {
    for (int i = 0; i < k->count; i++)
        if (k->at[i] == s) return;
    k->at[k->count++] = s;
    for (const field *f = s->fields; f->key; f++)
        if (f->of) learn(k, f->of);
}

static known all_shapes(void) {
    known k = {0};
    for (int i = 0; i < ROUTES; i++) {
        if (routes[i].in) learn(&k, routes[i].in);
        if (routes[i].out) learn(&k, routes[i].out);
    }
    learn(&k, &shape_problem);
    return k;
}

static const char *type_of(const field *f) {
    static const char *const types[] = {
        [FIELD_TEXT] = "string", [FIELD_WHOLE] = "integer", [FIELD_FLAG] = "boolean",
        [FIELD_TAGS] = "array",  [FIELD_WORDS] = "array",   [FIELD_SHAPES] = "array",
    };
    return types[f->kind];
}

static void put_field_schema(json *j, const field *f) {
    bool texts = f->kind == FIELD_TAGS || f->kind == FIELD_WORDS;
    put_open(j, f->key, '{');
    put_text(j, "description", f->help);
    if (f->kind == FIELD_OBJECT) {
        put_open_inline(j, "type", '[');
        put_text(j, NULL, "object");
        put_text(j, NULL, "null");
        put_close(j, ']');
    } else if (f->kind == FIELD_SHAPE) {
        put_open_inline(j, "allOf", '[');
        put_reference(j, NULL, "schemas", f->of->name);
        put_close(j, ']');
    } else {
        put_text(j, "type", type_of(f));
    }
    if (f->kind == FIELD_WHOLE) put_whole(j, "minimum", 0);
    if (f->kind == FIELD_SHAPES) put_reference(j, "items", "schemas", f->of->name);
    if (texts) put_type(j, "items", "string");
    put_close(j, '}');
}

static void put_shape(json *j, const shape *s) {
    put_open(j, s->name, '{');
    put_text(j, "description", s->help);
    put_text(j, "type", "object");
    put_flag(j, "additionalProperties", false);
    put_open_inline(j, "required", '[');
    for (const field *f = s->fields; f->key; f++)
        if (!f->optional) put_text(j, NULL, f->key);
    put_close(j, ']');
    put_open(j, "properties", '{');
    for (const field *f = s->fields; f->key; f++) put_field_schema(j, f);
    put_close(j, '}');
    put_close(j, '}');
}

static void put_shapes(json *j) {
    known k = all_shapes();
    put_open(j, "schemas", '{');
    for (int i = 0; i < k.count; i++) put_shape(j, k.at[i]);
    put_close(j, '}');
}

/* ---- problems ----------------------------------------------------------------------------- */

static void put_content(json *j, const char *media, const shape *s) {
    put_open(j, "content", '{');
    put_open(j, media, '{');
    if (s)
        put_reference(j, "schema", "schemas", s->name);
    else if (strcmp(media, "application/json") == 0)
        put_type(j, "schema", "object");
    put_close(j, '}');
    put_close(j, '}');
}

static void put_problems(json *j) {
    put_open(j, "responses", '{');
    for (int p = PROBLEM_NONE + 1; p < PROBLEM_COUNT; p++) {
        put_open(j, problem_of((problem)p)->name, '{');
        put_text(j, "description", problem_of((problem)p)->title);
        put_content(j, "application/problem+json", &shape_problem);
        put_close(j, '}');
    }
    put_close(j, '}');
}

/* Which problems a route can have. */
static bool can_be(const route *r, problem p) {
    bool addressed = strchr(r->path, '{') != NULL, body = r->takes != TAKES_NOTHING;
    switch (p) {
    case PROBLEM_MISSING:
        return addressed || r->in == &shape_new_plan;
    case PROBLEM_NOT_EMPTY:
        return r->takes == TAKES_BOOK;
    case PROBLEM_CONFLICT:
    case PROBLEM_UNCONDITIONAL:
        return r->conditional;
    case PROBLEM_TOO_LARGE:
    case PROBLEM_MEDIA:
    case PROBLEM_UNFIT:
        return body;
    case PROBLEM_DAMAGED:
    case PROBLEM_FULL:
        return !r->no_book;
    case PROBLEM_METHOD:
    case PROBLEM_FAILED: /* stands for the others of its status */
    case PROBLEM_NONE:
    case PROBLEM_COUNT:
        return false;
    default:
        return true;
    }
}

/* ---- routes ------------------------------------------------------------------------------- */

static void put_parameter_schema(json *j, const parameter *p) {
    put_open_inline(j, "schema", '{');
    put_text(j, "type", p->kind == PARAMETER_WHOLE ? "integer" : "string");
    if (p->kind == PARAMETER_WHOLE) {
        put_whole(j, "minimum", p->low);
        put_whole(j, "maximum", p->high);
    }
    if (p->kind == PARAMETER_DATE) put_text(j, "format", "date");
    if (p->kind == PARAMETER_WORD) {
        put_open_inline(j, "enum", '[');
        for (int i = 0; p->words[i]; i++) put_text(j, NULL, p->words[i]);
        put_close(j, ']');
    }
    put_close(j, '}');
}

static void put_query(json *j, const route *r) {
    for (const parameter *p = r->parameters; p && p->name; p++) {
        put_open(j, NULL, '{');
        put_text(j, "name", p->name);
        put_text(j, "in", "query");
        put_text(j, "description", p->help);
        put_parameter_schema(j, p);
        put_close(j, '}');
    }
}

static void put_number_in_path(json *j, const char *name, size_t size) {
    char text[32];
    snprintf(text, sizeof text, "%.*s", (int)size, name);
    put_open_inline(j, NULL, '{');
    put_text(j, "name", text);
    put_text(j, "in", "path");
    put_flag(j, "required", true);
    put_open_inline(j, "schema", '{');
    put_text(j, "type", "integer");
    put_whole(j, "minimum", 1);
    put_close(j, '}');
    put_close(j, '}');
}

static void put_parameters(json *j, const route *r) {
    put_open(j, "parameters", '[');
    for (const char *p = r->path; (p = strchr(p, '{')) != NULL;) {
        size_t size = strcspn(++p, "}");
        put_number_in_path(j, p, size);
    }
    if (r->conditional) put_reference(j, NULL, "parameters", "ifMatch");
    put_query(j, r);
    put_close(j, ']');
}

static void put_body(json *j, const route *r) {
    if (r->takes == TAKES_NOTHING) return;
    put_open(j, "requestBody", '{');
    put_flag(j, "required", true);
    put_content(j, "application/json", r->in);
    put_close(j, '}');
}

static void put_headers(json *j, const route *r) {
    if (!r->tagged && r->status != 201) return;
    put_open(j, "headers", '{');
    if (r->tagged) put_reference(j, "ETag", "headers", "revision");
    if (r->status == 201) put_reference(j, "Location", "headers", "place");
    put_close(j, '}');
}

static void put_answers(json *j, const route *r) {
    char status[8];
    int last = 0;
    snprintf(status, sizeof status, "%d", r->status);
    put_open(j, "responses", '{');
    put_open(j, status, '{');
    put_text(j, "description", r->out ? r->out->help : r->help);
    put_headers(j, r);
    put_content(j, r->out ? "application/json" : r->media, r->out);
    put_close(j, '}');
    for (int p = PROBLEM_NONE + 1; p < PROBLEM_COUNT; p++) {
        const problem_kind *kind = problem_of((problem)p);
        if (!can_be(r, (problem)p) || kind->status == last) continue;
        snprintf(status, sizeof status, "%d", kind->status);
        put_reference(j, status, "responses", kind->name);
        last = kind->status;
    }
    put_close(j, '}');
}

static void put_route(json *j, const route *r) {
    char verb[8] = "";
    for (size_t i = 0; i < sizeof verb - 1 && method_name(r->method)[i]; i++)
        verb[i] = (char)(method_name(r->method)[i] | 0x20);
    put_open(j, verb, '{');
    put_text(j, "operationId", r->name);
    put_text(j, "summary", r->help);
    put_parameters(j, r);
    put_body(j, r);
    put_answers(j, r);
    put_close(j, '}');
}

/* Rows of one path stand together. */
static void put_paths(json *j) {
    put_open(j, "paths", '{');
    for (int i = 0; i < ROUTES; i++) {
        char path[96];
        if (i > 0 && strcmp(routes[i].path, routes[i - 1].path) == 0) continue;
        snprintf(path, sizeof path, API "%s", routes[i].path);
        put_open(j, path, '{');
        for (int k = i; k < ROUTES && strcmp(routes[k].path, routes[i].path) == 0; k++)
            put_route(j, &routes[k]);
        put_close(j, '}');
    }
    put_close(j, '}');
}

/* ---- the rest ----------------------------------------------------------------------------- */

static void put_header(json *j, const char *key, const char *help) {
    put_open_inline(j, key, '{');
    put_text(j, "description", help);
    put_type(j, "schema", "string");
    put_close(j, '}');
}

static void put_if_match(json *j) {
    put_open(j, "parameters", '{');
    put_open_inline(j, "ifMatch", '{');
    put_text(j, "name", "If-Match");
    put_text(j, "in", "header");
    put_flag(j, "required", true);
    put_text(j, "description", "The ETag of what was looked at; * for whatever is there.");
    put_type(j, "schema", "string");
    put_close(j, '}');
    put_close(j, '}');
}

static void put_schemes(json *j) {
    put_open(j, "securitySchemes", '{');
    put_open_inline(j, "cookie", '{');
    put_text(j, "type", "apiKey");
    put_text(j, "in", "cookie");
    put_text(j, "name", COOKIE_NAME "7370");
    put_text(j, "description", "Its name ends in the port that is asked.");
    put_close(j, '}');
    put_open_inline(j, "bearer", '{');
    put_text(j, "type", "http");
    put_text(j, "scheme", "bearer");
    put_close(j, '}');
    put_close(j, '}');
}

static void put_security(json *j) {
    static const char *const schemes[] = {"cookie", "bearer"};
    put_open(j, "security", '[');
    for (int i = 0; i < 2; i++) {
        put_open_inline(j, NULL, '{');
        put_open_inline(j, schemes[i], '[');
        put_close(j, ']');
        put_close(j, '}');
    }
    put_close(j, ']');
}

static void put_info(json *j) {
    put_open(j, "info", '{');
    put_text(j, "title", "lengthwise serve");
    put_text(j, "version", LW_VERSION);
    put_text(j, "summary", "The book and the paper, for the page and for scripts of the same machine.");
    put_text(
        j, "description",
        "Texts are UTF-8. HEAD is answered as GET without its body, OPTIONS with what can be done. Whatever "
        "goes wrong is a problem (RFC 9457). Keys that are not known are refused.");
    put_open_inline(j, "license", '{');
    put_text(j, "name", "MIT");
    put_text(j, "identifier", "MIT");
    put_close(j, '}');
    put_close(j, '}');
}

static void put_components(json *j) {
    put_open(j, "components", '{');
    put_shapes(j);
    put_problems(j);
    put_if_match(j);
    put_open(j, "headers", '{');
    put_header(j, "revision", "The revision in quotes: \"3\".");
    put_header(j, "place", "Where it is from now on.");
    put_close(j, '}');
    put_schemes(j);
    put_close(j, '}');
}

void openapi_put(json *j) {
    put_open(j, NULL, '{');
    put_text(j, "openapi", "3.1.0");
    put_info(j);
    put_security(j);
    put_paths(j);
    put_components(j);
    put_close(j, '}');
}
