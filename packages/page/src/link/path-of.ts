/** The address of a job. Its name is a name: whatever stands in it, it leads to no other address. */
export const pathOf = (job: string): string => `/jobs/${encodeURIComponent(job)}`;

/** Whether an address can name it: of dots alone is what leads elsewhere in every address (RFC 3986, 5.2.4). */
export const canBeAsked = (job: string): boolean => !/^\.*$/.test(job);
