"""What a panel, its questions and its tests share: the model of a scene. No widgets."""
