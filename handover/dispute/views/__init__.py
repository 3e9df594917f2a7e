"""Pages of disputes: the list, the one case, its papers, and opening one."""
