/* lw_sum(value, …): a 64-bit sum of a row's values, kept in the row.
 *
 * SQLite finds pages that do not hang together; it does not find a text in which a bit has turned. FNV-1a
 * (Fowler, Noll and Vo; RFC 9923) over kind, size and bytes of every value does, but for one chance in 2^64.
 * It is no protection from people: whoever can change a row can change its sum.
 */
#include "sum.h"

static uint64_t add(uint64_t sum, const void *data, size_t size) {
    const unsigned char *byte = data;
    for (size_t i = 0; i < size; i++) sum = (sum ^ byte[i]) * 0x100000001b3u;
    return sum;
}

static uint64_t add_number(uint64_t sum, uint64_t value) {
    unsigned char bytes[8];
    for (int i = 0; i < 8; i++) bytes[i] = (unsigned char)(value >> (8 * i));
    return add(sum, bytes, sizeof bytes);
}

static void sum_values(sqlite3_context *context, int count, sqlite3_value **values) {
    uint64_t sum = 0xcbf29ce484222325u;
    for (int i = 0; i < count; i++) {
        int type = sqlite3_value_type(values[i]);
        sum = add_number(sum, (uint64_t)type);
        if (type == SQLITE_INTEGER) {
            sum = add_number(sum, (uint64_t)sqlite3_value_int64(values[i]));
        } else if (type != SQLITE_NULL) {
            const void *data = sqlite3_value_blob(values[i]);
            size_t size = (size_t)sqlite3_value_bytes(values[i]);
            sum = add(add_number(sum, size), data, data ? size : 0);
        }
    }
    sqlite3_result_int64(context, (int64_t)sum);
}

int sum_register(sqlite3 *db) {
    return sqlite3_create_function(db, "lw_sum", -1, SQLITE_UTF8 | SQLITE_DETERMINISTIC | SQLITE_DIRECTONLY,
                                   NULL, sum_values, NULL, NULL);
}
