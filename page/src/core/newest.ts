// Work of which only the newest counts. What is asked while older work goes on waits for a pause in it; the older work asks at
// each of its pauses whether it is still the newest, and leaves the rest undone where it is not.

// Lets messages in that came meanwhile.
export function pause(): Promise<void> {
  return new Promise((resume) => {
    const channel = new MessageChannel()
    channel.port1.onmessage = () => {
      channel.port1.close()
      resume()
    }
    channel.port2.postMessage(null)
  })
}

export const rest = (milliseconds: number): Promise<void> => new Promise((resume) => setTimeout(resume, milliseconds))

export function newestOnly<T>(work: (ask: T, still: () => boolean) => void | Promise<void>): (ask: T) => Promise<void> {
  let newest: T
  let working = false
  return async (ask) => {
    newest = ask
    if (working) return
    working = true
    try {
      for (;;) {
        const now = newest
        await work(now, () => newest === now)
        await pause()
        if (newest === now) return
      }
    } finally {
      working = false
    }
  }
}
