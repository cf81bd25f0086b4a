;;; eglot.el --- Emacs as a judge of `boltfolio editor' -*- lexical-binding: t -*-
;; Opens the demonstration, breaks it, sees the finding at its place, takes the mend, renames a joint that three files name, completes behind
;; `undo ', formats. Eglot applies what the server answers.
;;   BOLTFOLIO=program PLAN=folder emacs --batch -Q -L DIRECTORY-OF-EGLOT -l tests/editors/eglot.el
(require 'cl-lib)
(require 'eglot)
(require 'flymake)

(define-derived-mode boltplan-mode prog-mode "Boltplan"
  (setq-local comment-start "#"))
(add-to-list 'auto-mode-alist '("\\.boltplan\\'" . boltplan-mode))
(add-to-list 'eglot-server-programs (list 'boltplan-mode (getenv "BOLTFOLIO") "editor"))
(setq eglot-sync-connect 30
      eglot-autoreconnect nil
      eglot-confirm-server-initiated-edits nil
      eglot-send-changes-idle-time 0
      make-backup-files nil
      create-lockfiles nil)

(defun check (good what)
  (unless good
    (message "emacs: failed: %s" what)
    (kill-emacs 1))
  (message "emacs: %s" what))

(defun until-so (what so)
  (let ((end (+ (float-time) 30)) (good nil))
    (while (and (not (setq good (funcall so))) (< (float-time) end))
      (accept-process-output nil 0.02))
    (check good what)))

;; Eglot asks before it changes files that are not open: somebody says yes.
(advice-add 'y-or-n-p :override (lambda (&rest _) t))

;; In batch no timer that waits for idleness runs.
(defun told () (eglot--signal-textDocument/didChange))

(defun go-to (text)
  (goto-char (point-min))
  (check (search-forward text nil t) (format "`%s' stands there" text))
  (goto-char (match-beginning 0)))

(defvar found nil "The latest findings by file.")
(cl-defmethod eglot-handle-notification :before
  (_server (_method (eql textDocument/publishDiagnostics)) &key uri diagnostics &allow-other-keys)
  (setf (alist-get (eglot--uri-to-path uri) found nil nil #'equal) (append diagnostics nil)))

(let* ((plan (file-name-as-directory (file-truename (getenv "PLAN"))))
       (file (expand-file-name "stages/3-strip-front.boltplan" plan)))
  ;; A folder with version control is what Eglot takes for a project.
  (setq project-find-functions (list (lambda (_) (cons 'transient plan))))
  (find-file file)
  (apply #'eglot (eglot--guess-contact))
  (until-so "the server is ready" #'eglot-managed-p)
  (let ((server (eglot--current-server-or-lose)) place)
    ;; Break it.
    (go-to "undo damper-eye-left")
    (setq place (point))
    (search-forward "damper-eye-left")
    (replace-match "damper-eye-lfet")
    (told)
    (until-so "the finding is told" (lambda () (alist-get file found nil nil #'equal)))
    (let* ((one (car (alist-get file found nil nil #'equal)))
           (range (eglot--range-region (plist-get one :range))))
      (check (equal (plist-get one :code) "unknown-name") "it is an unknown name")
      (check (equal (car range) (+ place 5)) "it stands at its place")
      ;; Take the mend.
      (let* ((actions (jsonrpc-request
                       server :textDocument/codeAction
                       (list :textDocument (eglot--TextDocumentIdentifier)
                             :range (plist-get one :range)
                             :context (list :diagnostics (vector one)))))
             (mend (seq-find (lambda (action) (eq (plist-get action :isPreferred) t)) actions)))
        (check mend (format "one mend is offered: %s" (plist-get mend :title)))
        (eglot--apply-workspace-edit (plist-get mend :edit))))
    (told)
    (until-so "nothing is found any more" (lambda () (null (alist-get file found nil nil #'equal))))
    ;; Rename in three files.
    (go-to "damper-eye-left")
    (let ((before (length (buffer-list))))
      (eglot-rename "strut-eye")
      (check (>= (length (buffer-list)) (+ before 2)) "it is renamed in three files"))
    (save-some-buffers t)
    (dolist (buffer (buffer-list))
      (with-current-buffer buffer
        (when (and buffer-file-name (eglot-managed-p)) (told))))
    (go-to "undo strut-eye-left")
    (until-so "nothing is found after the renaming" (lambda () (cl-every (lambda (one) (null (cdr one))) found)))
    ;; Complete behind `undo '.
    (go-to "  undo strut-eye-left")
    (insert "  undo \n")
    (forward-char -1)
    (told)
    (let* ((capf (eglot-completion-at-point))
           (all (all-completions "" (nth 2 capf)))
           (names (mapcar (lambda (text) (string-trim (substring-no-properties text))) all)))
      (check (and (member "strut-eye-left" names) (not (member "wheel-fixing-left" names)))
             "what is closed at this step is offered, and nothing else"))
    (delete-region (line-beginning-position) (1+ (line-end-position)))
    ;; Format.
    (let ((before (buffer-string)))
      (end-of-line)
      (insert "   ")
      (told)
      (eglot-format-buffer)
      (check (equal (buffer-string) before) "it is formatted"))
    (told)
    ;; Hover and jump.
    (go-to "strut-eye-left")
    (let ((hover (jsonrpc-request server :textDocument/hover (eglot--TextDocumentPositionParams)))
          (jump (jsonrpc-request server :textDocument/definition (eglot--TextDocumentPositionParams))))
      (check (string-match-p "At this place of step" (plist-get (plist-get hover :contents) :value))
             "a hover tells how it is at this step")
      (check (string-match-p "corners" (plist-get (elt jump 0) :uri)) "a jump leads to the other file"))
    (eglot-shutdown server)
    (check (not (process-live-p (jsonrpc--process server))) "the server ends"))
  (kill-emacs 0))
