/* Drives the player by lines from standard input, and prints what it sets and answers. For tests on a host. */
#include "player.h"
#include <inttypes.h>
#include <stdio.h>

static uint32_t clock_now;

static uint32_t now(void)
{
    return clock_now;
}

static void set(const struct lw_place *place, uint16_t level)
{
    printf(" %u.%u=%u", (unsigned)place->board, (unsigned)place->channel, (unsigned)level);
}

int main(void)
{
    static struct lw_player player;
    uint32_t first;
    uint32_t second;
    char what;

    while (scanf(" %c %" SCNu32 " %" SCNu32, &what, &first, &second) == 3) {
        putchar(what);
        switch (what) {
        case 'b':
            clock_now = first;
            lw_begin(&player, set, now, second);
            break;
        case 'p':
            clock_now = first;
            lw_play(&player);
            break;
        case 's':
            printf(" %d", (int)lw_show(&player, (uint16_t)first, (uint16_t)second));
            break;
        case 't':
            printf(" %d", (int)lw_test(&player, (uint16_t)first));
            break;
        default:
            printf(" %08" PRIx32 " %08" PRIx32, lw_fingerprint(), lw_signal_fingerprint((uint16_t)first));
        }
        putchar('\n');
        fflush(stdout);
    }
    return 0;
}
