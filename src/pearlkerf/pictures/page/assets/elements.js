// The page's own elements.

export const find = (id) => document.getElementById(id);
