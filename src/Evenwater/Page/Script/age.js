// How long ago, in the words of the server's own pages.
export function ageWords(seconds) {
  if (seconds >= 48 * 3600) return "more than 2 days";
  if (seconds >= 2 * 3600) return `${Math.floor(seconds / 3600)} h`;
  if (seconds >= 120) return `${Math.floor(seconds / 60)} min`;
  return `${Math.max(0, Math.floor(seconds))} s`;
}
