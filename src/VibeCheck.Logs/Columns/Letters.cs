namespace VibeCheck.Logs.Columns;

/// <summary>Letters with marks, as the European languages write them, made plain: vocabularies then need one spelling.</summary>
internal static class Letters
{
    private const string Marked = "àáâãäåąāçćčďèéêëęěìíîïłľñńňòóôõöøőřśšťùúûüůűýÿźżžÀÁÂÃÄÅĄĀÇĆČĎÈÉÊËĘĚÌÍÎÏŁĽÑŃŇÒÓÔÕÖØŐŘŚŠŤÙÚÛÜŮŰÝŸŹŻŽµμß";
    private const string Bare = "aaaaaaaacccdeeeeeeiiiillnnnooooooorsstuuuuuuyyzzzAAAAAAAACCCDEEEEEEIIIILLNNNOOOOOOORSSTUUUUUUYYZZZuus";

    /// <summary>The letter without its mark; any other character as it is.</summary>
    internal static char Plain(char c) =>
        c < 0x80 ? c
        : Marked.IndexOf(c, StringComparison.Ordinal) is >= 0 and int at ? Bare[at]
        : c;
}
