// The same test as C++, which the header also promises.
#include "test_header.c"
