# fish completion for steepbook. Once:  steepbook completion fish | source
# For good: steepbook completion fish > ~/.config/fish/completions/steepbook.fish
function __steepbook_words
    set -l words (commandline -opc) (commandline -ct | string unescape)
    command steepbook completion words -- $words[2..] 2>/dev/null
end
complete -c steepbook -f -a '(__steepbook_words)'
