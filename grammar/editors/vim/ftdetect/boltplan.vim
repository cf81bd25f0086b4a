" Files of boltfolio plans.
autocmd BufRead,BufNewFile *.boltplan set filetype=boltplan
