#compdef steepbook
# zsh completion for steepbook. Once, after compinit:  source <(steepbook completion zsh)
# For good: steepbook completion zsh > a folder of $fpath, as _steepbook
_steepbook() {
	local line
	local -a whole shown part partly
	while IFS= read -r line; do
		case ${line%%$'\t'*} in
		*[=/]) part+=("${line%%$'\t'*}") partly+=("${line//$'\t'/  -- }") ;;
		*) whole+=("${line%%$'\t'*}") shown+=("${line//$'\t'/  -- }") ;;
		esac
	done < <(command steepbook completion words -- "${(@Q)words[2,CURRENT]}" 2>/dev/null)
	(( $#whole )) && compadd -l -d shown -a whole
	(( $#part )) && compadd -l -S '' -d partly -a part
	return 0
}
if [[ $funcstack[1] == _steepbook ]]; then _steepbook "$@"; else compdef _steepbook steepbook; fi
