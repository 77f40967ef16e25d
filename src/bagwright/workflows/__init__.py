"""One function per task of the maker: load, compute, check, save. The only room that joins the others."""
