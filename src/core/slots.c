#include "slots.h"

#include <stdlib.h>
#include <string.h>

#include "hash.h"

static uint64_t key_of(spot at) {
    uint64_t key = 1;
    for (int k = 0; k < 3; k++) key = key << 21 | (uint64_t)(at.v[k] + (1 << 20));
    return key;
}

static size_t slot_of(const slots *s, uint64_t key) {
    size_t i = (size_t)hash_mix(key) & (s->room - 1);
    while (s->key[i] && s->key[i] != key) i = (i + 1) & (s->room - 1);
    return i;
}

static bool grow(slots *s) {
    slots old = *s, more = {.room = s->room ? 2 * s->room : 4096, .count = s->count};
    more.key = calloc(more.room, sizeof *more.key);
    more.index = malloc(more.room * sizeof *more.index);
    if (!more.key || !more.index) {
        slots_clear(&more);
        return false;
    }
    *s = more;
    for (size_t i = 0; i < old.room; i++) {
        if (!old.key[i]) continue;
        size_t to = slot_of(s, old.key[i]);
        s->key[to] = old.key[i];
        s->index[to] = old.index[i];
    }
    slots_clear(&old);
    return true;
}

int32_t *slots_at(slots *s, spot at) {
    if (2 * s->count >= s->room && !grow(s)) return NULL;
    uint64_t key = key_of(at);
    size_t i = slot_of(s, key);
    if (!s->key[i]) {
        s->key[i] = key;
        s->index[i] = -1;
        s->count++;
    }
    return &s->index[i];
}

void slots_empty(slots *s) {
    if (s->room) memset(s->key, 0, s->room * sizeof *s->key);
    s->count = 0;
}

void slots_clear(slots *s) {
    free(s->key);
    free(s->index);
    *s = (slots){0};
}
