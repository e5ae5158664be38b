package sheet

func (s *sheet) work()       {}
func (s *sheet) partsList()  {}
func (s *sheet) judgement()  {}
func (s *sheet) removal()    {}
func (s *sheet) wiresSheet() {}
