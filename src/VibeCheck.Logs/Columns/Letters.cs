namespace VibeCheck.Logs.Columns;

/// <summary>Converts letters with diacritics of European languages to plain letters, so that vocabularies need one spelling only.</summary>
internal static class Letters
{
    private const string Marked = "àáâãäåąāçćčďèéêëęěìíîïłľñńňòóôõöøőřśšťùúûüůűýÿźżžÀÁÂÃÄÅĄĀÇĆČĎÈÉÊËĘĚÌÍÎÏŁĽÑŃŇÒÓÔÕÖØŐŘŚŠŤÙÚÛÜŮŰÝŸŹŻŽµμß";
    private const string Bare = "aaaaaaaacccdeeeeeeiiiillnnnooooooorsstuuuuuuyyzzzAAAAAAAACCCDEEEEEEIIIILLNNNOOOOOOORSSTUUUUUUYYZZZuus";

    /// <summary>The letter without its diacritic; any other character unchanged.</summary>
    internal static char Plain(char c) =>
        c < 0x80 ? c
        : Marked.IndexOf(c, StringComparison.Ordinal) is >= 0 and int at ? Bare[at]
        : c;
}
